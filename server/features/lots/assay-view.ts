import type { z } from 'zod'
import { QuickTestWord, ReadingWord, type AssayView } from '#contract/lots'
import type { Assay } from '#core/composition/assays'
import type { Prisma } from '#platform/database/client'
import { plainDate } from '#platform/mill-day'

export const withRecorder = {
  recordedByUser: { select: { name: true } },
  supersededBy: { select: { id: true } },
  lot: { select: { number: true, ingredientId: true, ingredient: { select: { nameEn: true, nameSw: true } } } },
} as const satisfies Prisma.AssayInclude
export type AssayRow = Prisma.AssayGetPayload<{ include: typeof withRecorder }>

const readingOf = (word: string): z.output<typeof ReadingWord> => ReadingWord.parse(word)

export const assayView = (row: AssayRow): z.output<typeof AssayView> => ({
  id: row.id,
  lotId: row.lotId,
  lotNumber: row.lot.number,
  ingredientId: row.lot.ingredientId,
  ingredientNameEn: row.lot.ingredient.nameEn,
  ingredientNameSw: row.lot.ingredient.nameSw,
  analyte: row.analyte,
  value: row.value,
  unit: row.unit,
  belowDetection: row.belowDetection,
  sd: row.sd,
  reading: readingOf(row.reading),
  quickTest: row.quickTest === null ? null : QuickTestWord.parse(row.quickTest),
  method: row.method,
  laboratory: row.laboratory,
  measuredOn: plainDate(row.measuredOn),
  recordedAt: row.recordedAt.toISOString(),
  recordedBy: row.recordedByUser.name,
  supersedesId: row.supersedesId,
  superseded: row.supersededBy !== null,
  note: row.note,
})

/** A result as core wants it. The caller leaves superseded ones out. */
export const assayOf = (row: Prisma.AssayGetPayload<object>): Assay => ({
  analyte: row.analyte,
  value: row.value,
  unit: row.unit,
  belowDetection: row.belowDetection,
  sd: row.sd,
  method: row.method,
  laboratory: row.laboratory,
  measuredOn: plainDate(row.measuredOn),
  reading: readingOf(row.reading),
})
