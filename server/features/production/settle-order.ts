import { formatKg } from '#core/quantity/mass'
import { baggedOf, priceOfBags, priceTold } from '#features/orders/order-price'
import type { CommandContext } from '#platform/command'

type Settled = Pick<CommandContext, 'tx' | 'now' | 'record'>

const SETTLED: readonly string[] = ['done', 'cancelled']

/**
 * The order is ready exactly while all loads that were not cancelled are done, and costs what is in their bags; with no load left it is
 * cancelled. Call it with the order locked, after a load's state changed.
 */
export const settleOrder = async ({ tx, now, record }: Settled, orderId: string, reason = ''): Promise<void> => {
  const order = await tx.order.findUniqueOrThrow({
    where: { id: orderId },
    select: {
      number: true,
      status: true,
      kg: true,
      pricePerKg: true,
      priceTotal: true,
      batches: { select: { status: true, madeKg: true } },
    },
  })
  const { batches: loads, number, status } = order
  if (status !== 'being-mixed' && status !== 'ready') return
  const update = (data: object): Promise<unknown> =>
    tx.order.update({ where: { id: orderId }, data: { ...data, revision: { increment: 1 } } })
  if (loads.some((load) => !SETTLED.includes(load.status))) {
    if (status === 'being-mixed') return
    await update({ status: 'being-mixed', readyAt: null, priceTotal: priceTold(order) })
    record('order.not-ready', 'order', orderId, { number })
    return
  }
  if (loads.every((load) => load.status === 'cancelled')) {
    await update({ status: 'cancelled', cancelledAt: now, cancelReason: reason, readyAt: null, priceTotal: priceTold(order) })
    record('order.cancelled', 'order', orderId, { number, reason, from: status })
    return
  }
  const bagged = baggedOf(loads)
  const priceTotal = priceOfBags(order, bagged)
  if (status === 'ready' && priceTotal === order.priceTotal.toFixed(2)) return
  await update({ priceTotal, ...(status === 'being-mixed' ? { status: 'ready', readyAt: now } : {}) })
  record('order.ready', 'order', orderId, { number, baggedKg: formatKg(bagged), priceTotal })
}

/** Orders that were ready until one of their loads went on hold, all at once; those that were not stay as they are. */
export const takeOffShelf = async ({ tx, record }: Settled, orderIds: readonly string[]): Promise<void> => {
  const select = { id: true, number: true, kg: true, pricePerKg: true }
  const orders = await tx.order.findMany({ where: { id: { in: [...orderIds] }, status: 'ready' }, select, orderBy: { number: 'asc' } })
  await tx.$executeRaw`
    UPDATE "order" SET status = 'being-mixed', ready_at = NULL, price_total = o.price, revision = revision + 1
    FROM unnest(${orders.map(({ id }) => id)}::uuid[], ${orders.map(priceTold)}::numeric[]) AS o (id, price) WHERE "order".id = o.id`
  for (const { id, number } of orders) record('order.not-ready', 'order', id, { number })
}
