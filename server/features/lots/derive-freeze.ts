import { fieldError, MillError } from '#core/errors'
import type { CommandContext } from '#platform/command'
import type { Tx } from '#platform/database/client'
import type { LotRow } from './lot-view.js'
import { withNames } from './lot-view.js'
import { reportReserved } from './report-reserved.js'

/** Every lot that holds a part of these, however many makings later, in ascending id as lots are locked everywhere. */
export const descendantsOf = async (tx: Tx, lotIds: readonly string[]): Promise<string[]> => {
  const rows = await tx.$queryRaw<{ id: string }[]>`
    WITH RECURSIVE after AS (
      SELECT lot_id FROM lot_parent WHERE parent_id = ANY(${[...lotIds]}::uuid[])
      UNION SELECT p.lot_id FROM lot_parent p JOIN after ON p.parent_id = after.lot_id)
    SELECT lot_id AS id FROM after ORDER BY lot_id`
  return rows.map(({ id }) => id)
}

type Source = Pick<LotRow, 'id' | 'number'> & { readonly holdUntil?: Date | null }

/** What was made of a lot goes on hold with it: grinding makes nothing good. What is set aside of it is told to the manager. */
export const freezeDerived = async (ctx: CommandContext, source: Source, reason: string): Promise<void> => {
  const { tx, actor, now, record } = ctx
  for (const id of await descendantsOf(tx, [source.id])) {
    const statusReason = `lot ${source.number}: ${reason}`
    const until = source.holdUntil ? { holdUntil: source.holdUntil } : {}
    const { count } = await tx.lot.updateMany({
      where: { id, status: 'released' },
      data: { status: 'on-hold', statusReason, decidedBy: actor.userId, decidedAt: now, ...until, revision: { increment: 1 } },
    })
    if (count === 0) continue
    const row = await tx.lot.findUniqueOrThrow({ where: { id }, include: withNames })
    await reportReserved(ctx, row, { kind: 'held-lot-reserved', reason: statusReason })
    record('lot.held', 'lot', id, { number: row.number, reason: statusReason, parent: source.number })
  }
}

/** A lot that only some feed may take takes what was made of it along; where no feed is left for that, it goes on hold. */
export const narrowDerived = async (ctx: CommandContext, source: Source, stages: readonly string[]): Promise<void> => {
  const { tx, record } = ctx
  for (const id of await descendantsOf(tx, [source.id])) {
    const row = await tx.lot.findUniqueOrThrow({ where: { id }, include: withNames })
    const left = row.releasedFor.length === 0 ? [...stages] : row.releasedFor.filter((stage) => stages.includes(stage))
    if (row.status !== 'released' || left.length === row.releasedFor.length) continue
    if (left.length === 0) await freezeDerived(ctx, source, 'no feed is left that may take all that is in it')
    else await tx.lot.update({ where: { id }, data: { releasedFor: left, revision: { increment: 1 } }, select: { id: true } })
    record('lot.limited', 'lot', id, { number: row.number, stages: left, parent: source.number })
  }
}

type AncestorRow = { number: number; status: string; released_for: string[] }
const ancestorsOf = (tx: Tx, lotId: string) => tx.$queryRaw<AncestorRow[]>`
  WITH RECURSIVE before AS (
    SELECT parent_id FROM lot_parent WHERE lot_id = ${lotId}::uuid
    UNION SELECT p.parent_id FROM lot_parent p JOIN before ON p.lot_id = before.parent_id)
  SELECT lot.number, lot.status, lot.released_for FROM lot JOIN before ON lot.id = before.parent_id ORDER BY lot.number`

/** A made lot is released only while every lot that it comes from is, and for no feed that one of them may not enter. */
export const checkAncestors = async (
  tx: Tx,
  { id, number, madeBy }: Pick<LotRow, 'id' | 'number' | 'madeBy'>,
  stages: readonly string[],
): Promise<void> => {
  if (madeBy === null) return
  const ancestors = await ancestorsOf(tx, id)
  const held = ancestors.filter(({ status }) => status === 'on-hold' || status === 'rejected').map((lot) => lot.number)
  if (held.length > 0) throw new MillError('wrong-state', { lotNumber: number, parentsNotReleased: held })
  for (const { number: parent, released_for: allowed } of ancestors) {
    if (allowed.length === 0 || (stages.length > 0 && stages.every((stage) => allowed.includes(stage)))) continue
    const facts = { lotNumber: parent, stages: allowed }
    throw fieldError('bad-input', 'stages', 'wider', `only of ${allowed.join(', ')}, as lot ${parent} that is in it`, facts)
  }
}
