import { ById } from '#contract/lists'
import { BatchDetailView, RecordWeighingBody } from '#contract/production'
import { command } from '#platform/command'
import { happenedAt } from '#platform/happened-at'
import { wholeBatch } from './batch-view.js'
import { lockBatch } from './lock-batch.js'
import { requireWeighable, weighLines } from './weigh-line.js'

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
    const { corrected, changed } = await weighLines(ctx, batch, { weighings: [{ part, position, actualKg }], at, pathOf: () => 'position' })
    // The same figure once more changes nothing; that it was entered is kept.
    if (changed === 0) ctx.record('batch.weight-repeated', 'batch', id, { number: batch.number, part, position, actualKg })
    return wholeBatch(ctx.tx, id, corrected)
  },
})
