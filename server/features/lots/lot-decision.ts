import { MillError } from '#core/errors'
import type { Tx } from '#platform/database/client'
import { withNames, type LotRow } from './lot-view.js'

type Decision = {
  readonly id: string
  readonly revision: number
  readonly from: readonly ('on-hold' | 'released')[]
  readonly to: 'on-hold' | 'released' | 'rejected'
  readonly reason: string
  readonly actorId: string
  readonly now: Date
  /** What else becomes true of the lot with the decision. */
  readonly terms?: { readonly releasedFor?: string[]; readonly retestOn?: Date | null; readonly holdUntil?: Date | null }
}

/**
 * Moves a lot to its new state by one guarded update, so that of two who decide at once only one does. The row stays locked until
 * COMMIT: no result can be recorded and nothing can be reserved beside the decision.
 */
export const decideLot = async (tx: Tx, { id, revision, from, to, reason, actorId, now, terms }: Decision): Promise<LotRow> => {
  const { count } = await tx.lot.updateMany({
    where: { id, revision, status: { in: [...from] } },
    data: { status: to, statusReason: reason, decidedBy: actorId, decidedAt: now, ...terms, revision: { increment: 1 } },
  })
  const row = await tx.lot.findUnique({ where: { id }, include: withNames })
  if (row === null) throw new MillError('not-found')
  if (count === 1) return row
  const facts = { lotNumber: row.number, status: row.status }
  const onlyHeld = !from.includes('released')
  if (!from.some((status) => status === row.status)) throw new MillError(onlyHeld ? 'lot-not-on-hold' : 'wrong-state', facts)
  throw new MillError('stale-revision', { ...facts, revision: row.revision })
}
