import { fieldError, MillError } from '#core/errors'
import { millFinding, type Finding } from '#core/safety/finding'
import { lockLot } from '#features/stock/ledger'
import type { CommandContext } from '#platform/command'
import type { Db, Tx } from '#platform/database/client'
import { withNames, type LotRow } from './lot-view.js'
import { reportReserved, setAsideForOthers } from './report-reserved.js'

/** In the reason of a hold; the console has the words. */
const NO_FEED_LEFT = 'no-feed-left'

/** Every lot that holds a part of these, however many makings later, in ascending id as lots are locked everywhere. */
export const descendantsOf = async (tx: Tx, lotIds: readonly string[]): Promise<string[]> => {
  const rows = await tx.$queryRaw<{ id: string }[]>`
    WITH RECURSIVE after AS (
      SELECT lot_id FROM lot_parent WHERE parent_id = ANY(${[...lotIds]}::uuid[])
      UNION SELECT p.lot_id FROM lot_parent p JOIN after ON p.parent_id = after.lot_id)
    SELECT lot_id AS id FROM after ORDER BY lot_id`
  return rows.map(({ id }) => id)
}

/**
 * Every lot that holds a part of this one, locked, each once. Who makes another lot of one of them meanwhile is waited for by its lock, so it
 * is asked again until nothing new has come.
 */
const eachDerived = async (tx: Tx, lotId: string, visit: (row: LotRow) => Promise<void>): Promise<void> => {
  const seen = new Set<string>()
  for (;;) {
    const found = (await descendantsOf(tx, [lotId])).filter((id) => !seen.has(id))
    if (found.length === 0) return
    for (const id of found) {
      seen.add(id)
      await lockLot(tx, id)
      await visit(await tx.lot.findUniqueOrThrow({ where: { id }, include: withNames }))
    }
  }
}

type Source = Pick<LotRow, 'id' | 'number'> & { readonly holdUntil?: Date | null }

const freeze = async (ctx: CommandContext, { id, number, status }: LotRow, source: Source, reason: string): Promise<void> => {
  if (status !== 'released') return
  const { tx, actor, now, record } = ctx
  const statusReason = `lot ${source.number}: ${reason}`
  const until = source.holdUntil ? { holdUntil: source.holdUntil } : {}
  const row = await tx.lot.update({
    where: { id },
    data: { status: 'on-hold', statusReason, decidedBy: actor.userId, decidedAt: now, ...until, revision: { increment: 1 } },
    include: withNames,
  })
  await reportReserved(ctx, row, { kind: 'held-lot-reserved', reason: statusReason })
  record('lot.held', 'lot', id, { number, reason: statusReason, parent: source.number })
}

/** What was made of a lot goes on hold with it: grinding makes nothing good. What is set aside of it is told to the manager. */
export const freezeDerived = (ctx: CommandContext, source: Source, reason: string): Promise<void> =>
  eachDerived(ctx.tx, source.id, (row) => freeze(ctx, row, source, reason))

const narrow = async (ctx: CommandContext, { id, number }: LotRow, source: Source, stages: string[]): Promise<void> => {
  const { tx, record } = ctx
  const row = await tx.lot.update({ where: { id }, data: { releasedFor: stages, revision: { increment: 1 } }, include: withNames })
  const reason = `lot ${source.number}`
  if (await setAsideForOthers(tx, id, stages)) await reportReserved(ctx, row, { kind: 'limited-lot-reserved', reason })
  record('lot.limited', 'lot', id, { number, stages, parent: source.number })
}

/**
 * A lot that only some feed may take takes what was made of it along. One for which no feed is left goes on hold, with what was made of it
 * and with no other: the rest of what was made of the lot may still be used.
 */
export const narrowDerived = (ctx: CommandContext, source: Source, stages: readonly string[]): Promise<void> =>
  eachDerived(ctx.tx, source.id, async (row) => {
    if (row.status !== 'released' && row.status !== 'used-up') return
    const left = row.releasedFor.length === 0 ? [...stages] : row.releasedFor.filter((stage) => stages.includes(stage))
    if (left.length === row.releasedFor.length) return
    if (left.length > 0) return narrow(ctx, row, source, left)
    await freeze(ctx, row, source, NO_FEED_LEFT)
    await eachDerived(ctx.tx, row.id, (made) => freeze(ctx, made, source, NO_FEED_LEFT))
  })

type AncestorRow = { number: number; status: string; released_for: string[] }
const ancestorsOf = (db: Db | Tx, lotId: string) => db.$queryRaw<AncestorRow[]>`
  WITH RECURSIVE before AS (
    SELECT parent_id FROM lot_parent WHERE lot_id = ${lotId}::uuid
    UNION SELECT p.parent_id FROM lot_parent p JOIN before ON p.lot_id = before.parent_id)
  SELECT lot.number, lot.status, lot.released_for FROM lot JOIN before ON lot.id = before.parent_id ORDER BY lot.number`

const isHeld = ({ status }: AncestorRow): boolean => status === 'on-hold' || status === 'rejected'

/** For a made lot on hold: which of the lots in it have to be released before it, worst news before anybody asks for the release. */
export const partFindings = async (db: Db | Tx, { id, number, madeBy }: Pick<LotRow, 'id' | 'number' | 'madeBy'>): Promise<Finding[]> => {
  if (madeBy === null) return []
  const held = (await ancestorsOf(db, id)).filter(isHeld)
  return held.map((part) =>
    millFinding('LOT-PART', 'lot', {
      severity: 'block',
      what: { code: 'part-not-released', facts: { lot: String(part.number) } },
      appliesTo: String(number),
    }),
  )
}

/** What keeps a lot from use by way of the lots in it: one that is held or rejected, or feeds of which none may take it all. Empty: nothing. */
export const againstByAncestors = async (tx: Tx, { id, releasedFor }: Pick<LotRow, 'id' | 'releasedFor'>): Promise<string> => {
  const ancestors = await ancestorsOf(tx, id)
  const held = ancestors.filter(isHeld)
  if (held.length > 0) return held.map(({ number, status }) => `lot ${number}: ${status}`).join('; ')
  const apart = ancestors.filter(
    ({ released_for: allowed }) =>
      allowed.length > 0 && (releasedFor.length === 0 || releasedFor.some((stage) => !allowed.includes(stage))),
  )
  return apart.map(({ number }) => `lot ${number}: ${NO_FEED_LEFT}`).join('; ')
}

/** A made lot is released only while every lot that it comes from is, and for no feed that one of them may not enter. */
export const checkAncestors = async (
  tx: Tx,
  { id, number, madeBy }: Pick<LotRow, 'id' | 'number' | 'madeBy'>,
  stages: readonly string[],
): Promise<void> => {
  if (madeBy === null) return
  const ancestors = await ancestorsOf(tx, id)
  const held = ancestors.filter(isHeld).map((lot) => lot.number)
  if (held.length > 0) throw new MillError('wrong-state', { lotNumber: number, parentsNotReleased: held })
  for (const { number: parent, released_for: allowed } of ancestors) {
    if (allowed.length === 0 || (stages.length > 0 && stages.every((stage) => allowed.includes(stage)))) continue
    const facts = { lotNumber: parent, stages: allowed }
    throw fieldError('bad-input', 'stages', 'wider-than-part', `only of ${allowed.join(', ')}, as lot ${parent} that is in it`, facts)
  }
}
