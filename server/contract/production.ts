import { z } from 'zod'
import { FindingView } from './findings.js'
import { listQuery, words } from './lists.js'
import { Instant, KgOrZeroString, KgString, KgView, LanguageCode, PlainDate, RequiredText } from './quantities.js'
import { FromSheet } from './sheets.js'

export const BATCH_STATUSES = ['planned', 'being-weighed', 'done', 'on-hold', 'cancelled'] as const
export const BatchListQuery = listQuery(
  ['number', 'plannedAt', 'status', 'loadKg'],
  { status: words(BATCH_STATUSES), orderId: z.uuid().optional(), lotId: z.uuid().optional() },
  'desc',
)

export const BatchLineView = z
  .object({
    part: z.enum(['load', 'pre-blend']),
    position: z.number().int(),
    lotId: z.uuid().nullable().describe('null: the pre-blend itself'),
    lotNumber: z.number().int().nullable(),
    ingredientId: z.string().nullable(),
    nameEn: z.string(),
    nameSw: z.string(),
    pictogram: z.string(),
    scale: z.enum(['floor', 'table']),
    targetKg: KgView,
    bags: z
      .object({ count: z.number().int(), bagKg: KgView, restKg: KgView })
      .nullable()
      .describe('full bags of the target and what is weighed besides; null: none is full, or bags differ'),
    allowedLowKg: KgView,
    allowedHighKg: KgView,
    runningKg: KgView,
    actualKg: KgView.nullable(),
    outside: z.boolean(),
    weighedAt: Instant.nullable(),
    weighedBy: z.string().nullable(),
    earlierKg: z.array(KgView).describe('weights entered before and corrected since, oldest first'),
  })
  .meta({ id: 'BatchLine' })

export const BatchView = z
  .object({
    id: z.uuid(),
    number: z.number().int(),
    orderId: z.uuid(),
    orderNumber: z.number().int(),
    memberName: z.string(),
    feedNameEn: z.string(),
    feedNameSw: z.string(),
    stage: z.string(),
    mixerName: z.string(),
    loadOfOrder: z.number().int(),
    loadsOfOrder: z.number().int(),
    loadKg: KgView,
    status: z.enum(BATCH_STATUSES),
    statusReason: z.string(),
    medication: z.object({ active: z.string(), mgPerKg: z.number() }).nullable(),
    plannedAt: Instant,
    startedAt: Instant.nullable(),
    finishedAt: Instant.nullable(),
    madeKg: KgView.nullable(),
    bestBefore: PlainDate.nullable(),
    bagKg: KgView,
    bagsOnHandKg: KgView,
    revision: z.number().int(),
  })
  .meta({ id: 'Batch' })
export const BatchDetailView = BatchView.extend({ lines: z.array(BatchLineView), findings: z.array(FindingView) }).meta({
  id: 'BatchDetail',
})

export const StartBatchBody = z.strictObject({
  flushed: z.boolean().default(false).describe('a flush was run through the mixer just before this load'),
})
export const RecordWeighingBody = z.strictObject({
  part: z.enum(['load', 'pre-blend']),
  position: z.number().int().min(1).max(200),
  actualKg: KgOrZeroString,
  weighedAt: Instant.nullable().default(null).describe('when it happened, if entered later'),
})
export const FinishBatchBody = z.strictObject({
  weights: z
    .array(z.strictObject({ part: z.enum(['load', 'pre-blend']), position: z.number().int().min(1).max(200), actualKg: KgOrZeroString }))
    .max(200)
    .default([])
    .describe('rows of the paper sheet that were not entered one by one'),
  madeKg: KgString.describe('weighed out in bags'),
  finishedAt: Instant.nullable().default(null),
  sheet: FromSheet,
})

/** The printed page as a model: the PDF and the print view show this same thing, already in its language. */
export const BatchSheetView = z
  .object({
    language: LanguageCode,
    title: z.string(),
    mill: z.string(),
    phone: z.string(),
    batchNumber: z.number().int(),
    printedAt: z.string(),
    printedBy: z.string(),
    feedName: z.string(),
    stage: z.string(),
    birdPictogram: z.string(),
    loadKg: z.string(),
    mixerName: z.string(),
    medicine: z.object({ medicated: z.boolean(), text: z.string() }),
    before: z.array(z.string()),
    columns: z.record(z.string(), z.string()),
    rows: z.array(
      z.object({
        position: z.number().int(),
        pictogram: z.string(),
        name: z.string(),
        lotNumber: z.string(),
        bags: z.number().int().describe('whole sacks to tick'),
        bagsOf: z.string().describe('the whole sacks in words; empty where there are none or they differ'),
        loose: z.string().describe('what is weighed besides whole sacks'),
        kg: z.string(),
        allowed: z.string(),
        running: z.string(),
      }),
    ),
    preBlend: z
      .object({
        title: z.string(),
        totalGrams: z.string(),
        rows: z.array(z.object({ name: z.string(), lotNumber: z.string(), pictogram: z.string(), grams: z.string(), allowed: z.string() })),
      })
      .nullable(),
    mixing: z.array(z.string()),
    bags: z.string(),
    cautions: z.array(z.string()),
    signatures: z.array(z.string()),
    powerCut: z.string(),
    qr: z.string().describe('what the QR code holds'),
  })
  .meta({ id: 'BatchSheet' })
export type BatchSheetView = z.infer<typeof BatchSheetView>
export const SheetQuery = z.strictObject({ language: LanguageCode.optional() })
export const HoldBatchBody = z.strictObject({ reason: RequiredText(400) })
export const WriteOffBatchBody = z.strictObject({ reason: RequiredText(400) })

export const DiscrepancyListQuery = listQuery(['number', 'openedAt'], { open: z.enum(['yes', 'no']).optional() }, 'desc')
export const DiscrepancyView = z
  .object({
    id: z.uuid(),
    number: z.number().int(),
    kind: z.string(),
    lotNumber: z.number().int().nullable(),
    batchId: z.uuid().nullable(),
    batchNumber: z.number().int().nullable(),
    orderNumber: z.number().int().nullable(),
    facts: z.record(z.string(), z.union([z.string(), z.number(), z.boolean(), z.null()])),
    openedAt: Instant,
    openedBy: z.string(),
    closedAt: Instant.nullable(),
    closedBy: z.string().nullable(),
    reason: z.string().nullable(),
    revision: z.number().int(),
  })
  .meta({ id: 'Discrepancy' })
export const CloseDiscrepancyBody = z.strictObject({ reason: RequiredText(400) })
