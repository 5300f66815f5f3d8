import type { Finding } from '#core/safety/finding'
import { freezeDerived } from '#features/lots/derive-freeze'
import { loadCompositions } from '#features/lots/lot-composition'
import { findingFacts, loadCheckContext, lotFindings } from '#features/lots/lot-safety'
import { withNames, type LotRow } from '#features/lots/lot-view'
import type { CommandContext } from '#platform/command'
import type { Db, Tx } from '#platform/database/client'

/** So many lots with their results and beliefs are held at once. */
const LOTS_AT_ONCE = 500
const OUT_OF_HAND = { in: ['released', 'used-up'] }

/** What stands against a lot, and at which revision of it that was found. */
type Judged = { readonly revision: number; readonly blocks: readonly Finding[] }
export type JudgedLots = ReadonlyMap<string, Judged>
type Results = LotRow['assays']

const inChunks = <Item>(items: readonly Item[], size: number): Item[][] =>
  Array.from({ length: Math.ceil(items.length / size) }, (_, chunk) => items.slice(chunk * size, (chunk + 1) * size))

/** Released lots among these, judged with the results that stand and these further ones. */
const judgeLots = async (
  db: Db | Tx,
  now: Date,
  { lotIds, further }: { readonly lotIds: readonly string[]; readonly further?: ReadonlyMap<string, Results> },
): Promise<JudgedLots> => {
  const context = await loadCheckContext(db, now)
  const judged = new Map<string, Judged>()
  for (const id of inChunks(lotIds, LOTS_AT_ONCE)) {
    const found = await db.lot.findMany({ where: { id: { in: id }, status: OUT_OF_HAND }, include: withNames })
    const rows = found.map((row) => ({ ...row, assays: [...row.assays, ...(further?.get(row.id) ?? [])] }))
    const compositions = await loadCompositions(db, rows)
    rows.forEach((row, index) => {
      const composition = compositions[index]
      if (composition === undefined) return
      const findings = lotFindings({ row, composition }, context)
      const blocks = findings.filter(({ severity, what }) => severity === 'block' && what.code !== 'lot-expired')
      judged.set(row.id, { revision: row.revision, blocks })
    })
  }
  return judged
}

/** Judged before the transaction, which then need not hold its lots while thousands of them are composed. */
export const judgeAhead = (db: Db, now: Date, further: ReadonlyMap<string, Results>): Promise<JudgedLots> =>
  judgeLots(db, now, { lotIds: [...further.keys()], further })

/**
 * A result may show that a lot should not have been released. It was, so the manager gets it to decide on. For lots that are held and
 * whose results are written; what was found ahead counts where nobody else touched the lot since. Answers with the lots condemned.
 */
export const reportBadLots = async (ctx: CommandContext, lotIds: readonly string[], ahead: JudgedLots = new Map()) => {
  const { tx, actor, now, newId, record } = ctx
  const released: { id: string; number: number; status: string; revision: number }[] = []
  for (const id of inChunks(lotIds, LOTS_AT_ONCE * 10)) {
    const select = { id: true, number: true, status: true, revision: true }
    released.push(...(await tx.lot.findMany({ where: { id: { in: id }, status: OUT_OF_HAND }, select, orderBy: { number: 'asc' } })))
  }
  // this command moved the revision by one itself
  const changed = released.filter(({ id, revision }) => ahead.get(id)?.revision !== revision - 1).map(({ id }) => id)
  const judged = new Map([...ahead, ...(changed.length === 0 ? [] : await judgeLots(tx, now, { lotIds: changed }))])
  const bad = released.filter(({ id }) => (judged.get(id)?.blocks.length ?? 0) > 0)
  for (const { id: lotId, number: lotNumber, status } of bad) {
    const blocks = judged.get(lotId)?.blocks ?? []
    const facts = { lotNumber, status, rules: blocks.map(({ ruleId, what }) => `${ruleId} ${what.code}`).join(', ') }
    const id = newId()
    await tx.discrepancy.create({ data: { id, kind: 'released-lot-fails', lotId, facts, openedAt: now, openedBy: actor.userId } })
    record('discrepancy.opened', 'discrepancy', id, { ...facts, findings: findingFacts(blocks) })
    await freezeDerived(ctx, { id: lotId, number: lotNumber }, facts.rules)
  }
  return bad.map(({ id, number }) => ({ lotId: id, lotNumber: number }))
}
