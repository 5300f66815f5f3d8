import { RecordAssaysBody, RecordedAssaysView } from '#contract/laboratory'
import { ById } from '#contract/lists'
import { MillError, fieldError } from '#core/errors'
import { loadBook } from '#features/ingredients/book'
import { assayView, withRecorder } from '#features/lots/assay-view'
import { withNames, type LotRow } from '#features/lots/lot-view'
import { command } from '#platform/command'
import type { Tx } from '#platform/database/client'
import { dateOf, dayAt } from '#platform/mill-day'
import { resultFaults } from './assay-rules.js'
import { reportBadLots } from './bad-lots.js'

type Result = RecordAssaysBody['results'][number]

/** A new revision: whoever is about to decide on the lot must look again. The row stays locked until COMMIT. */
const touchLot = async (tx: Tx, id: string): Promise<LotRow> => {
  await tx.lot.updateMany({ where: { id }, data: { revision: { increment: 1 } } })
  const row = await tx.lot.findUnique({ where: { id }, include: withNames })
  if (row === null) throw new MillError('not-found')
  return row
}

/** A correction names the result it replaces: of the same lot and analyte, and replaced by nothing else yet. */
const checkCorrection = async (tx: Tx, lotId: string, { supersedesId, analyte }: Result, index: number): Promise<void> => {
  if (supersedesId === null) return
  const path = `results.${index}.supersedesId`
  const old = await tx.assay.findUnique({ where: { id: supersedesId }, include: { supersededBy: { select: { id: true } } } })
  if (old === null || old.lotId !== lotId || old.analyte !== analyte)
    throw fieldError('bad-input', path, 'unknown', 'there is no such result of this lot and analyte')
  if (old.supersededBy !== null) throw fieldError('wrong-state', path, 'superseded', 'this result was corrected already')
}

export const recordAssays = command({
  roles: ['laboratory', 'manager'],
  params: ById,
  input: RecordAssaysBody,
  output: RecordedAssaysView,
  status: 201,
  async run(ctx, { id: lotId, laboratory, results }) {
    const { tx, actor, now, newId, record } = ctx
    const lot = await touchLot(tx, lotId)
    const book = (await loadBook(tx)).get(lot.ingredientId)
    const { timeZone } = await tx.mill.findUniqueOrThrow({ where: { id: 1 }, select: { timeZone: true } })
    const days = { today: dayAt(now, timeZone), receivedOn: dayAt(lot.receivedAt, timeZone) }
    const faults = resultFaults(results, { book: book?.book ?? [], ...days })
    if (faults.length > 0) throw new MillError('bad-input', {}, faults)
    const ids: string[] = []
    for (const [index, result] of results.entries()) {
      await checkCorrection(tx, lotId, result, index)
      const { confirmed: _confirmed, measuredOn, ...figures } = result
      const id = newId()
      ids.push(id)
      await tx.assay.create({
        data: { ...figures, id, lotId, laboratory, measuredOn: dateOf(measuredOn), recordedAt: now, recordedBy: actor.userId },
        select: { id: true },
      })
    }
    record('assays.recorded', 'lot', lotId, { number: lot.number, analytes: results.map(({ analyte }) => analyte), assayIds: ids })
    await reportBadLots(ctx, [lotId])
    const rows = await tx.assay.findMany({ where: { id: { in: ids } }, include: withRecorder, orderBy: { id: 'asc' } })
    return { lotId, assays: rows.map(assayView) }
  },
})
