import type { RecordAssaysBody } from '#contract/laboratory'
import { ANALYTES } from '#contract/laboratory'
import { readTyped } from '../../format/typed'
import type { StaffKey } from '../../i18n/words'
import { unitOf } from '../lots/lotWords'

export type AnalyteName = (typeof ANALYTES)[number]

/** One result as it is typed. */
export type SampleRow = {
  readonly analyte: AnalyteName
  readonly value: string
  readonly below: boolean
  readonly method: string
  readonly confirmed: boolean
  readonly supersedesId: string | null
  readonly note: string
}

/** What is usually done at a mill's bench; it stands in the field to be changed. From memory, no source. */
const USUAL_METHODS: Readonly<Partial<Record<AnalyteName, string>>> = {
  moisture: 'oven, 103 C',
  CP: 'Kjeldahl, N x 6.25',
  EE: 'Soxhlet',
  CF: 'acid and alkali digestion',
  ash: 'furnace, 550 C',
  AIA: 'ash in hydrochloric acid',
  aflatoxin_B1: 'strip test',
  aflatoxin_total: 'strip test',
  urea: 'strip test',
}

export const emptyRow = (analyte: AnalyteName): SampleRow => ({
  analyte,
  value: '',
  below: false,
  method: USUAL_METHODS[analyte] ?? 'sent to a laboratory',
  confirmed: false,
  supersedesId: null,
  note: '',
})

export const FIRST_ANALYTES: readonly AnalyteName[] = ['moisture', 'CP']
export const isAnalyteName = (text: string): text is AnalyteName => ANALYTES.some((known) => known === text)

export type Sample = { readonly laboratory: string; readonly measuredOn: string; readonly rows: readonly SampleRow[] }

/** Rows in which something was typed; their place among these is N in the mill's `results.N.value`. */
export const typedRows = (sample: Sample): readonly SampleRow[] => sample.rows.filter(({ value }) => value.trim() !== '')

type Faults = Readonly<Record<string, StaffKey>>
type Reading = { readonly kind: 'body'; readonly body: RecordAssaysBody } | { readonly kind: 'faults'; readonly faults: Faults }

const valueFault = (typed: string): StaffKey | undefined => (readTyped(typed).kind === 'number' ? undefined : 'field.notANumber')
const numberOf = (typed: string): number => {
  const reading = readTyped(typed)
  return reading.kind === 'number' ? Number(reading.text) : Number.NaN
}

/** What is sent, or what must be put right, under the paths that the mill uses too. A row left empty is no result. */
export const readSample = (sample: Sample): Reading => {
  const rows = typedRows(sample)
  const faults: Record<string, StaffKey> = {}
  if (rows.length === 0) faults['results.0.value'] = 'lab.nothingTyped'
  if (sample.laboratory.trim() === '') faults['laboratory'] = 'field.empty'
  rows.forEach((row, index) => {
    const fault = valueFault(row.value)
    if (fault) faults[`results.${index}.value`] = fault
    if (row.method.trim() === '') faults[`results.${index}.method`] = 'field.empty'
  })
  if (Object.keys(faults).length > 0) return { kind: 'faults', faults }
  return {
    kind: 'body',
    body: {
      laboratory: sample.laboratory.trim(),
      results: rows.map(({ analyte, value, below, method, confirmed, supersedesId, note }) => ({
        analyte,
        value: numberOf(value),
        unit: unitOf(analyte),
        belowDetection: below,
        sd: null,
        method: method.trim(),
        measuredOn: sample.measuredOn,
        confirmed,
        supersedesId,
        note: note.trim(),
      })),
    },
  }
}
