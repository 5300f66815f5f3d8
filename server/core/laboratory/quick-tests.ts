import type { AnalyteId } from '../composition/analytes.js'

/** How a test that is read at the bench in minutes answers, and how far it errs. */
export type QuickTest = {
  readonly id: QuickTestId
  readonly analyte: AnalyteId
  /** Kept as the result's method. */
  readonly method: string
  /** A figure, or only whether the substance was seen. */
  readonly answers: 'figure' | 'yes-no'
  /** In the analyte's first unit: nothing is seen below it. */
  readonly detectionLimit: number
  /** The kit says at which content it answers, and kits differ: the limit is asked for with the answer. */
  readonly limitOfKit: boolean
  /** Standard deviation of one reading: the larger of the two. */
  readonly sdPoints: number
  readonly sdPct: number
  /** All of these are from memory or common practice; `source` says which. */
  readonly source: string
}

export const QUICK_TEST_IDS = ['moisture-meter', 'aflatoxin-strip', 'urea-test', 'sand-jar', 'salt-strip'] as const
export type QuickTestId = (typeof QUICK_TEST_IDS)[number]

/** `assay_error.csv` has no row about any of them, so the errors are wide. */
export const QUICK_TESTS: Readonly<Record<QuickTestId, QuickTest>> = {
  'moisture-meter': {
    id: 'moisture-meter',
    analyte: 'moisture',
    method: 'moisture meter',
    answers: 'figure',
    detectionLimit: 5,
    limitOfKit: false,
    sdPoints: 0.5,
    sdPct: 0,
    source: 'from memory: grain meters read within about half a point, and nothing below about 5 %',
  },
  'aflatoxin-strip': {
    id: 'aflatoxin-strip',
    analyte: 'aflatoxin_total',
    method: 'aflatoxin strip',
    answers: 'yes-no',
    detectionLimit: 20,
    limitOfKit: true,
    sdPoints: 0,
    sdPct: 0,
    source: 'from memory: strips are sold for 4, 10 and 20 ug/kg; the kit says which',
  },
  'urea-test': {
    id: 'urea-test',
    analyte: 'urea',
    method: 'urea test',
    answers: 'yes-no',
    detectionLimit: 0.1,
    limitOfKit: false,
    sdPoints: 0,
    sdPct: 0,
    source: 'common practice, no source: a colour is seen from about 0.1 % of urea',
  },
  'sand-jar': {
    id: 'sand-jar',
    analyte: 'AIA',
    method: 'sand jar',
    answers: 'figure',
    detectionLimit: 1,
    limitOfKit: false,
    sdPoints: 1,
    sdPct: 30,
    source: 'common practice, no source: what sinks in a jar of water is told to about a third, and from about 1 %',
  },
  'salt-strip': {
    id: 'salt-strip',
    analyte: 'Cl',
    method: 'salt strip',
    answers: 'figure',
    detectionLimit: 0.06,
    limitOfKit: false,
    sdPoints: 0.03,
    sdPct: 10,
    source: 'from memory, doubled: chloride strips vary by 3 to 5 % (mill_practice.csv MIX-12); from about 0.1 % of salt',
  },
}

export type Reading = 'figure' | 'none-found' | 'found'
export type QuickAnswer = { readonly reading: Reading; readonly value: number; readonly detectionLimit: number | null }
export type QuickFigures = { readonly value: number; readonly belowDetection: boolean; readonly sd: number | null }

/**
 * A quick test's answer as a result. What was not seen is below the detection limit, never zero; what was seen by a test that only says
 * yes or no is at least that limit. A figure below what the test can show counts as not seen.
 */
export const figuresOf = (test: QuickTest, { reading, value, detectionLimit }: QuickAnswer): QuickFigures => {
  const limit = detectionLimit ?? test.detectionLimit
  if (reading === 'found') return { value: limit, belowDetection: false, sd: null }
  if (reading === 'none-found' || value < limit) return { value: limit, belowDetection: true, sd: null }
  return { value, belowDetection: false, sd: Math.max(test.sdPoints, (test.sdPct / 100) * value) }
}
