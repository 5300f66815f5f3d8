import { ById } from '#contract/lists'
import { BatchDetailView, WriteOffBatchBody } from '#contract/production'
import { writeOffBags } from '#features/stock/ledger'
import { command } from '#platform/command'
import { wholeBatch } from './batch-view.js'
import { lockBatch, requireRevision, wrongState } from './lock-batch.js'
import { settleOrder } from './settle-order.js'

/**
 * Bags that may not be handed over (past their date, spoilt, held for good) leave the stock as a loss, and their load is cancelled. The
 * order goes on with its other loads; where none is left it is cancelled too.
 */
export const writeOffBatch = command({
  roles: ['manager'],
  params: ById,
  input: WriteOffBatchBody,
  ifMatch: true,
  output: BatchDetailView,
  async run(ctx, { id, revision, reason }) {
    const { tx, actor, now, newId, record } = ctx
    const batch = await lockBatch(tx, id)
    requireRevision(batch, revision)
    if (batch.finishedAt === null || !['done', 'on-hold'].includes(batch.status) || batch.bagsOnHandKg.lte(0)) throw wrongState(batch)
    const kg = batch.bagsOnHandKg.toFixed(3)
    await writeOffBags(tx, { id: newId(), orderId: batch.orderId, batchId: id, kg, happenedAt: now, actorId: actor.userId, reason })
    await tx.batch.update({ where: { id }, data: { status: 'cancelled', statusReason: reason, revision: { increment: 1 } } })
    record('batch.written-off', 'batch', id, { number: batch.number, kg, from: batch.status, reason })
    await settleOrder(ctx, batch.orderId, reason)
    return wholeBatch(tx, id)
  },
})
