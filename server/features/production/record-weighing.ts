import { ById } from '#contract/lists'
import { BatchDetailView, RecordWeighingBody } from '#contract/production'
import { command } from '#platform/command'
import { wholeBatch } from './batch-view.js'
import { happenedAt } from './happened-at.js'
import { lockBatch } from './lock-batch.js'
import { requireWeighable, weighLine } from './weigh-line.js'

/** One row was weighed. Without If-Match: rows come one by one, from a phone that was offline too, and none is refused for another's sake. */
export const recordWeighing = command({
  roles: ['mixer-operator', 'manager'],
  params: ById,
  input: RecordWeighingBody,
  output: BatchDetailView,
  async run(ctx, { id, part, position, actualKg, weighedAt }) {
    const batch = await lockBatch(ctx.tx, id)
    const at = happenedAt('weighedAt', weighedAt, ctx.now)
    await requireWeighable(ctx, batch, at)
    const corrected = await weighLine(ctx, batch, { part, position, actualKg, weighedAt: at }, 'position')
    return wholeBatch(ctx.tx, id, corrected === null ? [] : [corrected])
  },
})
