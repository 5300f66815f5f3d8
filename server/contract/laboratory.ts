import { z } from 'zod'
import { listQuery } from './lists.js'
import { PlainDate, RequiredText, Text } from './quantities.js'
import { AssayView } from './lots.js'

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

export const AssayResult = z.strictObject({
  analyte: Analyte,
  value: z.number(),
  unit: z.enum(['%', 'ug/kg', 'mg/kg']),
  belowDetection: z.boolean().default(false).describe('`value` is then the detection limit'),
  // So near to nothing or so far from everything that no laboratory means it, and that its square is no number any more.
  sd: z.number().min(1e-6, 'at least 0.000001').max(100_000, 'at most 100,000').nullable().default(null),
  method: RequiredText(80),
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
export const RecordedAssaysView = z.object({ lotId: z.uuid(), assays: z.array(AssayView) }).meta({ id: 'RecordedAssays' })
