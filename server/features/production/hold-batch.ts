import { ById } from '#contract/lists'
import { BatchDetailView, HoldBatchBody } from '#contract/production'
import { MillError } from '#core/errors'
import { command } from '#platform/command'
import { wholeBatch } from './batch-view.js'
import { lockBatch, requireRevision, wrongState } from './lock-batch.js'
import { settleOrder } from './settle-order.js'

/** Nothing of a load on hold is handed over, and its order is not ready. Whoever mixes sees first that something is wrong. */
export const holdBatch = command({
  roles: ['mixer-operator', 'manager'],
  params: ById,
  input: HoldBatchBody,
  ifMatch: true,
  output: BatchDetailView,
  async run(ctx, { id, revision, reason }) {
    const { tx, record } = ctx
    const batch = await lockBatch(tx, id)
    requireRevision(batch, revision)
    // Its bags are with the member: what helps now is a trace and a call, and the books stay as they are.
    if (batch.order.status === 'collected') throw new MillError('wrong-state', { status: 'collected', batchNumber: batch.number })
    if (!['planned', 'being-weighed', 'done'].includes(batch.status)) throw wrongState(batch)
    await tx.batch.update({ where: { id }, data: { status: 'on-hold', statusReason: reason, revision: { increment: 1 } } })
    record('batch.held', 'batch', id, { number: batch.number, from: batch.status, reason })
    await settleOrder(ctx, batch.orderId)
    return wholeBatch(tx, id)
  },
})

/** Only the manager lets it go on, back to where the load was: planned, being weighed, or done. */
export const releaseHold = command({
  roles: ['manager'],
  params: ById,
  input: HoldBatchBody,
  ifMatch: true,
  output: BatchDetailView,
  async run(ctx, { id, revision, reason }) {
    const { tx, record } = ctx
    const batch = await lockBatch(tx, id)
    requireRevision(batch, revision)
    if (batch.status !== 'on-hold') throw wrongState(batch)
    const status = batch.finishedAt !== null ? 'done' : batch.startedAt !== null ? 'being-weighed' : 'planned'
    await tx.batch.update({ where: { id }, data: { status, statusReason: reason, revision: { increment: 1 } } })
    record('batch.hold-released', 'batch', id, { number: batch.number, to: status, reason })
    await settleOrder(ctx, batch.orderId)
    return wholeBatch(tx, id)
  },
})
