import { ById } from '#contract/lists'
import { CancelOrderBody, OrderView } from '#contract/orders'
import { MillError } from '#core/errors'
import { ownRows } from '#features/members/own-rows'
import { releaseReservation, type Line } from '#features/stock/ledger'
import { command } from '#platform/command'
import type { Tx } from '#platform/database/client'
import { orderView, withNames } from './order-view.js'
import { bagKgOfMill } from './bag-size.js'

const reservedFor = async (tx: Tx, orderId: string): Promise<Line[]> => {
  const sums = await tx.stockEntry.groupBy({
    by: ['lotId'],
    where: { account: 'lot-reserved', transfer: { orderId } },
    _sum: { kg: true },
  })
  return sums.flatMap(({ lotId, _sum }) => (lotId !== null && _sum.kg?.gt(0) === true ? [{ lotId, kg: _sum.kg.toFixed(3) }] : []))
}

/** Before anything was weighed an order can be cancelled; what was reserved for it is free again at once. */
export const cancelOrder = command({
  roles: ['member', 'counter-clerk', 'manager'],
  params: ById,
  input: CancelOrderBody,
  ifMatch: true,
  output: OrderView,
  async run({ tx, actor, now, newId, record }, { id, revision, reason }) {
    const before = await tx.order.findFirst({ where: { id, ...ownRows(actor) } })
    if (before === null) throw new MillError('not-found')
    const { count } = await tx.order.updateMany({
      where: { id, revision, status: { in: ['ordered', 'planned'] } },
      data: { status: 'cancelled', cancelledAt: now, cancelReason: reason, revision: { increment: 1 } },
    })
    if (count === 0)
      throw before.revision === revision ? new MillError('wrong-state', { status: before.status }) : new MillError('stale-revision')
    await tx.batch.updateMany({
      // A planned load that the manager holds was not weighed either.
      where: { orderId: id, status: { in: ['planned', 'on-hold'] }, startedAt: null },
      data: { status: 'cancelled', statusReason: reason, revision: { increment: 1 } },
    })
    // A load that left 'planned' means that weighing began: then the ledger's facts stand, and the order is not cancelled.
    if ((await tx.batch.count({ where: { orderId: id, status: { not: 'cancelled' } } })) > 0)
      throw new MillError('wrong-state', { status: 'being-mixed' })
    const lines = await reservedFor(tx, id)
    if (lines.length > 0) await releaseReservation(tx, { id: newId(), orderId: id, lines, happenedAt: now, actorId: actor.userId, reason })
    record('order.cancelled', 'order', id, { number: before.number, reason, from: before.status })
    const row = await tx.order.findUniqueOrThrow({ where: { id }, include: withNames })
    return orderView(row, { bagKg: await bagKgOfMill(tx), showCode: actor.role === 'member' })
  },
})
