import type { CommandContext } from '#platform/command'

type Settled = Pick<CommandContext, 'tx' | 'now' | 'record'>

/** The order is ready exactly while all its loads are done; call it with the order locked, after a load's state changed. */
export const settleOrder = async ({ tx, now, record }: Settled, orderId: string): Promise<void> => {
  const open = await tx.batch.count({ where: { orderId, status: { notIn: ['done', 'cancelled'] } } })
  const order = await tx.order.findUniqueOrThrow({ where: { id: orderId }, select: { number: true, status: true } })
  if (open === 0 && order.status === 'being-mixed') {
    await tx.order.update({ where: { id: orderId }, data: { status: 'ready', readyAt: now, revision: { increment: 1 } } })
    record('order.ready', 'order', orderId, { number: order.number })
  }
  if (open > 0 && order.status === 'ready') {
    await tx.order.update({ where: { id: orderId }, data: { status: 'being-mixed', readyAt: null, revision: { increment: 1 } } })
    record('order.not-ready', 'order', orderId, { number: order.number })
  }
}
