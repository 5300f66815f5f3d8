import type { BookValue } from './book.js'
import type { NutrientId } from './nutrients.js'

export type AnalyteUnit = '%' | 'ug/kg' | 'mg/kg'
type AnalyteRule = {
  readonly units: readonly [AnalyteUnit, ...AnalyteUnit[]]
  /** Possible range in the first unit; outside it a result is impossible. */
  readonly max: number
  readonly nutrient: NutrientId | null
  /** Which side is worse for the birds where results disagree. */
  readonly worse: 'high' | 'low'
  /** A difference from the book that is never worth a question, in the first unit (working judgement, no source). */
  readonly usual: number
}

const percent = (nutrient: NutrientId | null, max: number, worse: 'high' | 'low', usual: number): AnalyteRule => ({
  units: ['%'],
  max,
  nutrient,
  worse,
  usual,
})
const poison = (max: number): AnalyteRule => ({ units: ['ug/kg', 'mg/kg'], max, nutrient: null, worse: 'high', usual: max })

/**
 * What a laboratory may record. Crude protein goes above 100 % because it is nitrogen x 6.25 (pure arginine: 197 %, pure urea: 292 %)
 * and such lots are sold; a lot that is food for birds stays under the limit of its kind by the book check. `urea` is a strip
 * (0 none, 1 found) or per cent.
 */
export const ANALYTES = {
  moisture: percent('DM', 100, 'high', 5),
  CP: percent('CP', 292, 'low', 2),
  EE: percent('EE', 100, 'low', 2),
  CF: percent('CF', 100, 'high', 3),
  ash: percent('ash', 100, 'high', 3),
  AIA: percent(null, 100, 'high', 100),
  starch: percent('starch', 100, 'low', 8),
  sugars: percent('sugars', 100, 'low', 4),
  Ca: percent('Ca', 45, 'high', 0.6),
  totP: percent('totP', 35, 'low', 0.4),
  Na: percent('Na', 45, 'high', 0.3),
  Cl: percent('Cl', 65, 'high', 0.3),
  K: percent('K', 60, 'high', 0.6),
  Lys: percent('Lys', 100, 'low', 0.5),
  Met: percent('Met', 100, 'low', 0.3),
  Thr: percent('Thr', 100, 'low', 0.4),
  Trp: percent('Trp', 100, 'low', 0.2),
  aflatoxin_B1: poison(100_000),
  aflatoxin_total: poison(100_000),
  urea: percent(null, 100, 'high', 100),
} as const satisfies Record<string, AnalyteRule>

export type AnalyteId = keyof typeof ANALYTES
export const ANALYTE_IDS = Object.keys(ANALYTES) as readonly AnalyteId[]
export const isAnalyte = (text: string): text is AnalyteId => text in ANALYTES

export type AssayEntry = { readonly analyte: string; readonly value: number; readonly unit: string }
type EntryFacts = Readonly<Record<string, string | number>>
export type AssayCheck =
  | { readonly kind: 'ok' }
  | {
      readonly kind: 'error'
      readonly code: 'analyte-unknown' | 'unit-wrong' | 'not-a-number' | 'negative' | 'above-possible'
      readonly facts: EntryFacts
    }
  /** A result that a person must look at again and confirm. */
  | { readonly kind: 'implausible'; readonly code: 'far-from-book'; readonly facts: EntryFacts }

/** The value in the analyte's first unit: mould poisons in ug/kg, all else in per cent. */
export const inFirstUnit = (analyte: AnalyteId, value: number, unit: string): number =>
  ANALYTES[analyte].units[0] === 'ug/kg' && unit === 'mg/kg' ? value * 1000 : value

/** The largest value a lot of this kind can hold: protein of anything but pure amino acids stays under 100 %. */
const possibleMax = (analyte: AnalyteId, book: readonly BookValue[]): number => {
  if (analyte !== 'CP') return ANALYTES[analyte].max
  const bookProtein = book.find((value) => value.nutrient === 'CP')?.value ?? 0
  return bookProtein > 90 ? ANALYTES.CP.max : 100
}

const bookLevel = (analyte: AnalyteId, book: readonly BookValue[]): BookValue | undefined => {
  const { nutrient } = ANALYTES[analyte]
  const value = nutrient === null ? undefined : book.find((candidate) => candidate.nutrient === nutrient)
  return value && analyte === 'moisture' ? { ...value, value: 100 - value.value } : value
}

/**
 * Whether a result can be recorded. Impossible: unknown analyte or unit, negative, above what can be. Implausible: further from
 * the book than four of its standard deviations, 40 % of the book value and the usual spread (working judgement, no source).
 */
export const checkAssay = (entry: AssayEntry, book: readonly BookValue[] = []): AssayCheck => {
  const { analyte, unit } = entry
  if (!isAnalyte(analyte)) return { kind: 'error', code: 'analyte-unknown', facts: { analyte } }
  const rule: AnalyteRule = ANALYTES[analyte]
  if (!rule.units.some((allowed) => allowed === unit))
    return { kind: 'error', code: 'unit-wrong', facts: { unit, allowed: rule.units.join(', ') } }
  if (!Number.isFinite(entry.value)) return { kind: 'error', code: 'not-a-number', facts: { analyte } }
  if (entry.value < 0) return { kind: 'error', code: 'negative', facts: { value: entry.value, unit } }
  const value = inFirstUnit(analyte, entry.value, unit)
  const max = possibleMax(analyte, book)
  const [firstUnit] = rule.units
  if (value > max) return { kind: 'error', code: 'above-possible', facts: { value, max, unit: firstUnit } }
  const expected = bookLevel(analyte, book)
  if (!expected) return { kind: 'ok' }
  const allowed = Math.max(4 * (expected.sd ?? 0), 0.4 * expected.value, rule.usual)
  if (Math.abs(value - expected.value) <= allowed) return { kind: 'ok' }
  return {
    kind: 'implausible',
    code: 'far-from-book',
    facts: { value, bookValue: expected.value, allowed, unit: firstUnit, source: expected.source },
  }
}
