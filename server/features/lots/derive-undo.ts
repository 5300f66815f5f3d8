import { UndoMakingBody } from '#contract/derived-lots'
import { ById } from '#contract/lists'
import { LotView } from '#contract/lots'
import { MillError } from '#core/errors'
import { lockLot, undoMakingMovement } from '#features/stock/ledger'
import { command, type CommandContext } from '#platform/command'
import type { Tx } from '#platform/database/client'
import { loadToday, plainDate } from '#platform/mill-day'
import { againstByAncestors } from './derive-freeze.js'
import { againstLots } from './lot-safety.js'
import { lotView, withNames, type LotRow } from './lot-view.js'

type Made = {
  readonly status: string
  readonly holdUntil: Date | null
  readonly assays: readonly unknown[]
}

/**
 * Why a made lot is no longer only a slip of the pen, beside its kilograms (which the ledger compares): it was rejected, a sample of it was
 * measured, or a stack of it is under gas. Taking it back would put the same grain among released lots and what was found out of sight.
 */
export const keptFor = (
  { status, holdUntil, assays }: Made,
  today: string,
): 'made-lot-rejected' | 'made-lot-measured' | 'made-lot-held' | null => {
  if (status === 'rejected') return 'made-lot-rejected'
  if (assays.length > 0) return 'made-lot-measured'
  return status === 'on-hold' && holdUntil !== null && plainDate(holdUntil) > today ? 'made-lot-held' : null
}

const MESSAGES = {
  'made-lot-rejected': 'only a lot that was not rejected',
  'made-lot-measured': 'only a lot of which no sample was measured',
  'made-lot-held': 'not before the day until which it is held',
} as const

const checkSlip = (row: LotRow, today: string): void => {
  const code = keptFor(row, today)
  if (code === null) return
  const facts = { lotNumber: row.number, until: row.holdUntil && plainDate(row.holdUntil) }
  throw new MillError('wrong-state', facts, [{ path: 'id', code, message: MESSAGES[code], facts }])
}

const load = (tx: Tx, ids: readonly string[]): Promise<LotRow[]> =>
  tx.lot.findMany({ where: { id: { in: [...ids] } }, include: withNames, orderBy: { id: 'asc' } })

/** A parent of which nothing had been left was out of everybody's sight: before it is used again, what was found meanwhile counts. */
const holdCondemned = async ({ tx, actor, now, record }: CommandContext, ids: readonly string[]): Promise<void> => {
  for (const row of await load(tx, ids)) {
    const found = [await againstByAncestors(tx, row), await againstLots(tx, [row], now)].filter((text) => text !== '')
    if (found.length === 0) continue
    const statusReason = found.join('; ')
    const data = { status: 'on-hold', statusReason, decidedBy: actor.userId, decidedAt: now, revision: { increment: 1 } }
    await tx.lot.update({ where: { id: row.id }, data, select: { id: true } })
    record('lot.held', 'lot', row.id, { number: row.number, reason: statusReason })
  }
}

/** A made lot that was typed wrongly is taken back into its parents, once, while nothing of it was used, measured or condemned. */
export const undoMaking = command({
  roles: ['manager'],
  params: ById,
  input: UndoMakingBody,
  output: LotView,
  async run(ctx, { id, reason }) {
    const { tx, actor, now, newId, record } = ctx
    const before = await tx.lot.findUnique({ where: { id }, include: { making: true, parents: { select: { parentId: true } } } })
    if (before === null) throw new MillError('not-found')
    if (before.making === null) throw new MillError('wrong-state', { lotNumber: before.number, madeBy: null })
    const { transferId } = before.making
    const parentIds = before.parents.map(({ parentId }) => parentId)
    for (const lotId of [id, ...parentIds].toSorted()) await lockLot(tx, lotId)
    const locked = await load(tx, [id, ...parentIds])
    for (const row of locked) if (row.id === id) checkSlip(row, await loadToday(tx, now))
    await undoMakingMovement(tx, { id: newId(), lotId: id, transferId, actorId: actor.userId, reason })
    await tx.lot.update({ where: { id }, data: { decidedAt: now }, select: { id: true } })
    await holdCondemned(
      ctx,
      locked.flatMap((row) => (row.id !== id && row.status === 'used-up' ? [row.id] : [])),
    )
    record('lot.making-undone', 'lot', id, { number: before.number, kind: before.madeBy, reason })
    return lotView(await tx.lot.findUniqueOrThrow({ where: { id }, include: withNames }))
  },
})
