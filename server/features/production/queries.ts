import { ById } from '#contract/lists'
import { BatchDetailView, BatchListQuery, BatchSheetView, BatchView, SheetQuery } from '#contract/production'
import type { Prisma } from '#platform/database/client'
import { containing, numberIn, onlyIds, rowsOf } from '#platform/list-page'
import { document, query } from '#platform/query'
import { STAFF } from '#platform/staff'
import { batchSheet } from './batch-sheet-document.js'
import { batchSheetPdf } from './batch-sheet-pdf.js'
import { batchView, wholeBatch, withFacts } from './batch-view.js'
import { loadSheetFacts } from './sheet-facts.js'

const matching = (q: string): Prisma.BatchWhereInput => {
  const number = numberIn(q)
  return {
    OR: [
      { order: { member: { name: containing(q) } } },
      { order: { formulaVersion: { formula: { nameEn: containing(q) } } } },
      { order: { formulaVersion: { formula: { nameSw: containing(q) } } } },
      ...(number === undefined ? [] : [{ number }, { order: { number } }]),
    ],
  }
}

export const listBatches = query({
  roles: STAFF,
  input: BatchListQuery,
  output: BatchView,
  list: true,
  async run({ db }, { page, perPage, sort, order, q, id, status, orderId, lotId }) {
    const where: Prisma.BatchWhereInput = {
      AND: [
        onlyIds(id),
        status === undefined ? {} : { status: { in: status } },
        orderId === undefined ? {} : { orderId },
        lotId === undefined ? {} : { lines: { some: { lotId } } },
        q === undefined ? {} : matching(q),
      ],
    }
    const [rows, total] = await Promise.all([
      db.batch.findMany({ where, include: withFacts, orderBy: [{ [sort]: order }, { number: order }], ...rowsOf({ page, perPage }) }),
      db.batch.count({ where }),
    ])
    return { items: rows.map(batchView), total }
  },
})

export const getBatch = query({ roles: STAFF, params: ById, output: BatchDetailView, run: ({ db }, { id }) => wholeBatch(db, id) })

export const getBatchSheet = query({
  roles: STAFF,
  params: ById,
  input: SheetQuery,
  output: BatchSheetView,
  run: async ({ db, actor, now }, { id, language }) => batchSheet(await loadSheetFacts({ db, now, printedBy: actor.name }, id, language)),
})

export const printBatchSheet = document({
  roles: STAFF,
  params: ById,
  input: SheetQuery,
  contentType: 'application/pdf',
  async run({ db, actor, now }, { id, language }) {
    const sheet = batchSheet(await loadSheetFacts({ db, now, printedBy: actor.name }, id, language))
    return { fileName: `batch-${sheet.batchNumber}.pdf`, bytes: await batchSheetPdf(sheet, now) }
  },
})
