import { RecordedSamplesView, RecordSamplesBody } from '#contract/laboratory'
import { fieldError } from '#core/errors'
import { command } from '#platform/command'
import { holding, usedBatchView } from './used-batches.js'
import { writeResults } from './write-results.js'

/** One method over a row of samples, as a bench works: every fault is told at its row, and nothing is kept until all rows are right. */
export const recordSamples = command({
  roles: ['laboratory', 'manager'],
  input: RecordSamplesBody,
  output: RecordedSamplesView,
  status: 201,
  long: true,
  async run(ctx, { laboratory, rows, ...method }) {
    const twice = rows.findIndex(({ lotId }, index) => rows.findIndex((row) => row.lotId === lotId) < index)
    if (twice >= 0) throw fieldError('bad-input', `rows.${twice}.lotId`, 'twice', 'this sample stands in an earlier row already')
    const written = rows.map(({ lotId, ...row }, index) => ({
      lotId,
      laboratory,
      path: `rows.${index}`,
      result: { ...method, ...row, sd: null, supersedesId: null },
    }))
    const pathOfLot = (lotId: string): string => `rows.${rows.findIndex((row) => row.lotId === lotId)}.lotId`
    const { assays, lots, checked } = await writeResults(ctx, written, pathOfLot)
    const used = lots.map(({ id, number }) => ({
      lotId: id,
      lotNumber: number,
      batches: holding(checked, id).map((one) => usedBatchView(one, id)),
    }))
    return { assays, used: used.filter(({ batches }) => batches.length > 0) }
  },
})
