import { ById } from '#contract/lists'
import { CancelRestBody, OrderDetailView } from '#contract/orders'
import { MillError } from '#core/errors'
import { formatKg } from '#core/quantity/mass'
import { cents, formatMoney, parseMoney } from '#core/quantity/money'
import { bagKgOfMill } from '#features/orders/bag-size'
import { orderDetailView, withNames } from '#features/orders/order-view'
import { cancelOpenLoads, costOfOpenLoads, loadOpenLoads, reservedLines } from '#features/planning/open-loads'
import { releaseReservation } from '#features/stock/ledger'
import { command } from '#platform/command'
import { settleOrder } from './settle-order.js'

/**
 * Deliver what is made, give up the rest: the loads that nobody began are cancelled and what is set aside for them is free again. With the
 * loads that are left done, the order is ready with the kilograms really in bags, and costs only those.
 */
export const cancelRest = command({
  roles: ['manager'],
  params: ById,
  input: CancelRestBody,
  ifMatch: true,
  output: OrderDetailView,
  async run(ctx, { id, revision, reason }) {
    const { tx, actor, now, newId, record } = ctx
    await tx.$queryRaw`SELECT id FROM "order" WHERE id = ${id}::uuid FOR UPDATE`
    const order = await tx.order.findUnique({ where: { id }, select: { number: true, status: true, revision: true, costTotal: true } })
    if (order === null) throw new MillError('not-found')
    if (order.revision !== revision) throw new MillError('stale-revision')
    const open = await loadOpenLoads(tx, id)
    // Before anything was begun the order itself is cancelled.
    if (order.status !== 'being-mixed' || open.ids.length === 0) throw new MillError('wrong-state', { status: order.status })
    await cancelOpenLoads(tx, open, reason)
    const about = { orderId: id, happenedAt: now, actorId: actor.userId, reason }
    await releaseReservation(tx, { ...about, id: newId(), lines: reservedLines(open) })
    // what is given up costs nothing: its lots go to others
    const costTotal =
      order.costTotal === null ? null : formatMoney(cents(parseMoney(order.costTotal.toFixed(2)) - (await costOfOpenLoads(tx, open))))
    await tx.order.update({ where: { id }, data: { revision: { increment: 1 }, costTotal } })
    record('order.rest-cancelled', 'order', id, { number: order.number, reason, kg: formatKg(open.mass), loads: open.ids.length })
    await settleOrder(ctx, id, reason)
    const row = await tx.order.findUniqueOrThrow({ where: { id }, include: withNames })
    return orderDetailView(row, { bagKg: await bagKgOfMill(tx), actor })
  },
})
