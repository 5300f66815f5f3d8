import { z } from 'zod'
import { COLUMNS } from '#core/laboratory/columns'
import { listQuery } from './lists.js'
import { FindingView } from './findings.js'
import { Instant, KgView, PlainDate, RequiredText, Text } from './quantities.js'
import { AssayView, Hazard, QuickTestWord, ReadingWord } from './lots.js'

export const AssayListQuery = listQuery(
  ['recordedAt', 'measuredOn', 'analyte'],
  {
    lotId: z.uuid().optional(),
    analyte: z.string().max(60).optional(),
    current: z.enum(['yes']).optional().describe('without superseded results'),
  },
  'desc',
)

export const ANALYTES = [
  'moisture',
  'CP',
  'EE',
  'CF',
  'ash',
  'AIA',
  'starch',
  'sugars',
  'Ca',
  'totP',
  'Na',
  'Cl',
  'K',
  'Lys',
  'Met',
  'Thr',
  'Trp',
  'aflatoxin_B1',
  'aflatoxin_total',
  'urea',
] as const
export const Analyte = z.enum(ANALYTES).meta({ id: 'Analyte' })

const QuickFields = {
  quickTest: QuickTestWord.nullable()
    .default(null)
    .describe('read at the bench: method, error and detection limit are then those of the test'),
  reading: ReadingWord.default('figure').describe('of a test that says yes or no; `value` is then not looked at'),
  detectionLimit: z
    .number()
    .min(1e-6, 'at least 0.000001')
    .max(100_000, 'at most 100,000')
    .nullable()
    .default(null)
    .describe('of the kit, where kits differ; null: that of the test'),
}

export const AssayResult = z.strictObject({
  analyte: Analyte,
  value: z.number().default(0),
  ...QuickFields,
  unit: z.enum(['%', 'ug/kg', 'mg/kg']),
  belowDetection: z.boolean().default(false).describe('`value` is then the detection limit'),
  // So near to nothing or so far from everything that no laboratory means it, and that its square is no number any more.
  sd: z.number().min(1e-6, 'at least 0.000001').max(100_000, 'at most 100,000').nullable().default(null),
  method: Text(80).default('').describe('needed for all but a quick test'),
  measuredOn: PlainDate,
  confirmed: z.boolean().default(false).describe('an unusual value was looked at again and stands'),
  supersedesId: z.uuid().nullable().default(null),
  note: Text(400).default(''),
})

/** All results of one sample, recorded together or not at all. */
export const RecordAssaysBody = z.strictObject({
  laboratory: RequiredText(80),
  results: z.array(AssayResult).min(1).max(40),
})
export type RecordAssaysBody = z.infer<typeof RecordAssaysBody>

/** A load that holds a lot, checked again with what is believed of the lot now. */
export const UsedBatchView = z
  .object({
    batchId: z.uuid(),
    batchNumber: z.number().int(),
    orderNumber: z.number().int(),
    status: z.string(),
    startedAt: Instant.nullable(),
    handedOver: z.boolean(),
    kg: KgView.describe('of this lot in it, as weighed, else as planned'),
    inside: z.boolean().describe('no limit and no check fails'),
    limits: z.array(z.string()).describe('limits of its formula that fail'),
    findings: z.array(FindingView).describe('checks that fail'),
  })
  .meta({ id: 'UsedBatch' })
export const UsedLotView = z
  .object({ lotId: z.uuid(), lotNumber: z.number().int(), batches: z.array(UsedBatchView) })
  .meta({ id: 'UsedLot' })

export const RecordedAssaysView = z
  .object({
    lotId: z.uuid(),
    assays: z.array(AssayView),
    used: z.array(UsedBatchView).describe('loads that held the lot before this result came'),
  })
  .meta({ id: 'RecordedAssays' })

/** One method over many samples: all of them recorded together or not at all. */
export const RecordSamplesBody = z.strictObject({
  laboratory: RequiredText(80),
  measuredOn: PlainDate,
  analyte: Analyte,
  quickTest: QuickFields.quickTest,
  detectionLimit: QuickFields.detectionLimit,
  unit: z.enum(['%', 'ug/kg', 'mg/kg']),
  method: Text(80).default(''),
  rows: z
    .array(
      z.strictObject({
        lotId: z.uuid(),
        value: z.number().default(0),
        reading: ReadingWord.default('figure'),
        belowDetection: z.boolean().default(false),
        confirmed: z.boolean().default(false),
        note: Text(400).default(''),
      }),
    )
    .min(1)
    .max(100),
})
export const RecordedSamplesView = z.object({ assays: z.array(AssayView), used: z.array(UsedLotView) }).meta({ id: 'RecordedSamples' })

/** A sample of a lot that somebody must test before anything can be decided, oldest first. */
export const SampleDueView = z
  .object({
    sample: z.string().describe('what stands on its label'),
    lotId: z.uuid(),
    lotNumber: z.number().int(),
    ingredientId: z.string(),
    ingredientNameEn: z.string(),
    ingredientNameSw: z.string(),
    pictogram: z.string(),
    supplierName: z.string(),
    storagePlace: z.string(),
    kg: KgView,
    why: z.enum(['release', 're-test']),
    waitsSince: Instant,
    retestOn: PlainDate.nullable(),
    required: z.array(Hazard).describe('no release without them'),
    asked: z.array(Hazard).describe('a rule looks for them; without them the manager must say why'),
    orders: z.array(z.number().int()).describe('orders whose loads wait for this lot'),
    onlyOne: z.boolean().describe('nothing else of this ingredient can be used'),
  })
  .meta({ id: 'SampleDue' })
export const SamplesDueView = z
  .object({ samples: z.array(SampleDueView), ordersToPlan: z.int().describe('orders that wait to be planned') })
  .meta({ id: 'SamplesDue' })

/** Lots of which a result came after they were used, newest first. */
export const LateResultsView = z.object({ lots: z.array(UsedLotView) }).meta({ id: 'LateResults' })

/** So many results a laboratory brings together in years. */
export const MAX_IMPORT_ROWS = 50_000
/** 320 characters a row, as JSON. */
export const MAX_IMPORT_BYTES = 16 * 1024 * 1024
const Fingerprint = z.string().regex(/^[0-9a-f]{64}$/, 'the fingerprint that the check gave')

/** No text on the wire is longer than 100,000 characters, so a file travels in pieces that are joined as they are. */
const FileParts = z.array(z.string()).min(1).max(1000).describe('the text of the file in pieces of at most 100,000 characters')

export const CheckImportBody = z.strictObject({
  parts: FileParts,
  page: z.int().min(1).max(MAX_IMPORT_ROWS).default(1),
  perPage: z.int().min(1).max(500).default(100),
})
export const ImportAssaysBody = z.strictObject({
  parts: FileParts,
  fingerprint: Fingerprint.describe('of the file as it was checked'),
  confirmedUnusual: z.int().min(0).max(MAX_IMPORT_ROWS).default(0).describe('how many unusual results were looked at again and stand'),
})

const ImportRow = z.int().describe('as a spreadsheet counts: the first line is row 1')
export const ImportFaultView = z
  .object({
    row: ImportRow,
    column: z.enum(COLUMNS).nullable().describe('null: the row as a whole'),
    header: z.string().describe('the heading as the file has it'),
    code: z.string(),
    message: z.string(),
    facts: z.record(z.string(), z.union([z.string(), z.number()])),
  })
  .meta({ id: 'ImportFault' })
export const ImportResultView = z
  .object({
    row: ImportRow,
    lotId: z.uuid(),
    lotNumber: z.int(),
    ingredientId: z.string(),
    ingredientNameEn: z.string(),
    ingredientNameSw: z.string(),
    analyte: Analyte,
    typed: z.string().describe('figure and unit as they stand in the file'),
    value: z.number(),
    unit: z.string(),
    belowDetection: z.boolean(),
    sd: z.number().nullable(),
    method: z.string(),
    laboratory: z.string(),
    measuredOn: z.string(),
    note: z.string(),
    usual: z.object({ low: z.number(), high: z.number() }).nullable().describe('where the result lies outside of it'),
  })
  .meta({ id: 'ImportResult' })

/** What would become of each row; nothing is kept. Each list is one page of its rows. */
export const ImportCheckView = z
  .object({
    fingerprint: Fingerprint,
    separator: z.enum(['comma', 'semicolon', 'tab']),
    decimalSign: z.enum(['point', 'comma', 'both', 'none']).describe('as the figures of the file show'),
    ignoredColumns: z.array(z.string()),
    rows: z.int().describe('rows in which something is written, without the headings'),
    good: z.int().describe('rows that can be recorded, unusual ones among them'),
    unusual: z.int(),
    faulty: z.int(),
    faults: z.int().describe('a row can have several'),
    lots: z.int().describe('lots that the good rows are about'),
    page: z.int(),
    perPage: z.int(),
    faultRows: z.array(ImportFaultView),
    unusualRows: z.array(ImportResultView),
    goodRows: z.array(ImportResultView),
  })
  .meta({ id: 'ImportCheck' })
export type ImportCheckView = z.infer<typeof ImportCheckView>

export const ImportedAssaysView = z
  .object({
    fingerprint: Fingerprint,
    results: z.int(),
    lots: z.int(),
    badLots: z.array(z.object({ lotId: z.uuid(), lotNumber: z.int() })).describe('released lots that a result condemns'),
    recordedAt: z.iso.datetime(),
    firstLots: z.array(z.object({ lotId: z.uuid(), lotNumber: z.int(), results: z.int() })).describe('the first twenty by number'),
  })
  .meta({ id: 'ImportedAssays' })
export type ImportedAssaysView = z.infer<typeof ImportedAssaysView>
