import type { RecordAssaysBody } from '#contract/laboratory'
import { ANALYTES } from '#contract/laboratory'
import { QUICK_TESTS, QUICK_TEST_IDS, type QuickTestId } from '#core/laboratory/quick-tests'
import { HAZARD_ANALYTES, type Hazard } from '#core/safety/required-tests'
import { readTyped } from '../../format/typed'
import type { StaffKey } from '../../i18n/words'
import { unitOf } from '../lots/lotWords'

export type AnalyteName = (typeof ANALYTES)[number]

/** One result as it is typed. */
export type SampleRow = {
  readonly analyte: AnalyteName
  /** The figure; of a test that says yes or no: `found` or `none-found`. */
  readonly value: string
  /** Read at the bench in minutes; then method and error are those of the test. */
  readonly quickTest: QuickTestId | null
  /** From which content the kit shows anything, where kits differ. */
  readonly kitLimit: string
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
}

export const quickTestOf = (analyte: AnalyteName): QuickTestId | undefined =>
  QUICK_TEST_IDS.find((id) => QUICK_TESTS[id].analyte === analyte)
export const saysYesOrNo = (quickTest: QuickTestId | null): boolean => quickTest !== null && QUICK_TESTS[quickTest].answers === 'yes-no'
/** What the kit is taken to show from until somebody writes what stands on it. */
export const usualKitLimit = (quickTest: QuickTestId): string =>
  QUICK_TESTS[quickTest].limitOfKit ? String(QUICK_TESTS[quickTest].detectionLimit) : ''

export const emptyRow = (analyte: AnalyteName): SampleRow => ({
  analyte,
  value: '',
  // no mill has a laboratory that measures urea; its test is the usual one
  quickTest: analyte === 'urea' ? 'urea-test' : null,
  kitLimit: '',
  below: false,
  method: USUAL_METHODS[analyte] ?? 'sent to a laboratory',
  confirmed: false,
  supersedesId: null,
  note: '',
})

export const FIRST_ANALYTES: readonly AnalyteName[] = ['moisture', 'CP']
export const isAnalyteName = (text: string): text is AnalyteName => ANALYTES.some((known) => known === text)

type Test = { readonly hazard: Hazard; readonly duty: 'required' | 'asked' | 'none'; readonly tested: boolean }

/** What is measured of every lot, then what this one still waits for: nobody has to look for it among all analyses. */
export const firstAnalytes = (tests: readonly Test[]): readonly AnalyteName[] => {
  const due = tests.filter(({ duty, tested }) => duty !== 'none' && !tested)
  const asked = due.flatMap(({ hazard }) => HAZARD_ANALYTES[hazard].slice(0, 1)).filter(isAnalyteName)
  return [...new Set([...FIRST_ANALYTES, ...asked])]
}

export type Sample = { readonly laboratory: string; readonly measuredOn: string; readonly rows: readonly SampleRow[] }

/**
 * Read by this test, or by the method that is written. A figure that was typed stays, unless it was a limit of detection: a quick test gives none.
 * Between a figure and a yes or no there is nothing to keep.
 */
export const readBy = (row: SampleRow, quickTest: QuickTestId | null): Partial<SampleRow> => ({
  quickTest,
  value: saysYesOrNo(quickTest) === saysYesOrNo(row.quickTest) && !row.below ? row.value : '',
  below: false,
  kitLimit: quickTest === null ? '' : usualKitLimit(quickTest),
})

/** A ticked test without what it said is not left empty: somebody forgot the answer. */
const isBegun = ({ analyte, value, below, quickTest }: SampleRow): boolean =>
  value.trim() !== '' || below || quickTest !== emptyRow(analyte).quickTest

/** Rows in which something was typed or ticked; their place among these is N in the mill's `results.N.value`. */
export const typedRows = (sample: Sample): readonly SampleRow[] => sample.rows.filter(isBegun)

type Faults = Readonly<Record<string, StaffKey>>
type Reading = { readonly kind: 'body'; readonly body: RecordAssaysBody } | { readonly kind: 'faults'; readonly faults: Faults }

const valueFault = ({ value, quickTest, kitLimit }: SampleRow): StaffKey | undefined => {
  if (value.trim() === '') return saysYesOrNo(quickTest) ? 'field.chooseOne' : 'field.empty'
  if (kitLimit !== '' && readTyped(kitLimit).kind !== 'number') return 'field.notANumber'
  return saysYesOrNo(quickTest) || readTyped(value).kind === 'number' ? undefined : 'field.notANumber'
}
const numberOf = (typed: string): number => {
  const reading = readTyped(typed)
  return reading.kind === 'number' ? Number(reading.text) : Number.NaN
}

/** A figure, or what a test said that gives none. */
export const answerOf = (value: string, quickTest: QuickTestId | null) =>
  saysYesOrNo(quickTest)
    ? { value: 0, reading: value === 'found' ? ('found' as const) : ('none-found' as const) }
    : { value: numberOf(value), reading: 'figure' as const }

/** What is sent, or what must be put right, under the paths that the mill uses too. A row left empty is no result. */
export const readSample = (sample: Sample): Reading => {
  const rows = typedRows(sample)
  const faults: Record<string, StaffKey> = {}
  if (rows.length === 0) faults['results.0.value'] = 'lab.nothingTyped'
  if (sample.laboratory.trim() === '') faults['laboratory'] = 'field.empty'
  rows.forEach((row, index) => {
    const fault = valueFault(row)
    if (fault) faults[`results.${index}.value`] = fault
    if (row.quickTest === null && row.method.trim() === '') faults[`results.${index}.method`] = 'field.empty'
  })
  if (Object.keys(faults).length > 0) return { kind: 'faults', faults }
  return {
    kind: 'body',
    body: {
      laboratory: sample.laboratory.trim(),
      results: rows.map(({ analyte, value, quickTest, kitLimit, below, method, confirmed, supersedesId, note }) => ({
        analyte,
        ...answerOf(value, quickTest),
        quickTest,
        detectionLimit: kitLimit === '' || quickTest === null ? null : numberOf(kitLimit),
        unit: unitOf(analyte),
        belowDetection: below,
        sd: null,
        method: quickTest === null ? method.trim() : '',
        measuredOn: sample.measuredOn,
        confirmed,
        supersedesId,
        note: note.trim(),
      })),
    },
  }
}
