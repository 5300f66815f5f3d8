import { ById } from '#contract/lists'
import { LotView, RejectLotBody } from '#contract/lots'
import { command } from '#platform/command'
import { freezeDerived } from './derive-freeze.js'
import { decideLot } from './lot-decision.js'
import { lotView } from './lot-view.js'

/** A lot may turn out bad after it was released: it is rejected then too, and what was set aside from it becomes a discrepancy. */
export const rejectLot = command({
  roles: ['manager', 'laboratory'],
  params: ById,
  input: RejectLotBody,
  ifMatch: true,
  output: LotView,
  async run(ctx, { id, revision, reason }) {
    const { tx, actor, now, newId, record } = ctx
    const row = await decideLot(tx, { id, revision, from: ['on-hold', 'released'], to: 'rejected', reason, actorId: actor.userId, now })
    const reservedKg = row.reservedKg.toFixed(3)
    if (row.reservedKg.gt(0)) {
      const facts = { lotNumber: row.number, reservedKg, reason }
      await tx.discrepancy.create({
        data: { id: newId(), kind: 'rejected-lot-reserved', lotId: id, facts, openedAt: now, openedBy: actor.userId },
      })
    }
    await freezeDerived(ctx, row, reason)
    record('lot.rejected', 'lot', id, { number: row.number, reason, reservedKg })
    return lotView(row)
  },
})
