import { RecordAssaysBody, RecordedAssaysView } from '#contract/laboratory'
import { ById } from '#contract/lists'
import { command } from '#platform/command'
import { holding, usedBatchView } from './used-batches.js'
import { writeResults } from './write-results.js'

export const recordAssays = command({
  roles: ['laboratory', 'manager'],
  params: ById,
  input: RecordAssaysBody,
  output: RecordedAssaysView,
  status: 201,
  long: true,
  async run(ctx, { id: lotId, laboratory, results }) {
    const written = results.map((result, index) => ({ lotId, laboratory, result, path: `results.${index}` }))
    const { assays, checked } = await writeResults(ctx, written, () => null)
    return { lotId, assays, used: holding(checked, lotId).map((one) => usedBatchView(one, lotId)) }
  },
})
