import { ANALYTES, ANALYTE_IDS, type AnalyteId } from './analytes.js'
import { resultsOf, type Assay, type Result } from './assays.js'
import type { BookValue } from './book.js'
import { deriveSums, followAsh, followMoisture, followSand, followShare } from './follow.js'
import { UNKNOWN, type KnownValue, type LotValue, type LotValues, type Step } from './lot-value.js'
import { NUTRIENT_IDS, type NutrientId } from './nutrients.js'
import { believedProtein, followProtein } from './protein.js'
import { ureaIsKnownFraud, ureaState } from './urea.js'

export type ContaminantId = Extract<AnalyteId, 'aflatoxin_B1' | 'aflatoxin_total' | 'urea' | 'AIA'>
export type ContaminantValue = {
  /** The detection limit when below detection. */
  readonly value: number
  readonly unit: string
  readonly knownBy: 'measured' | 'below-detection'
  readonly step: Step
}

export type LotInput = {
  readonly ingredientKey: string
  readonly category: string
  readonly book: readonly BookValue[]
  readonly assays: readonly Assay[]
  readonly intakeMoisturePct?: number | null | undefined
}

export type LotComposition = {
  readonly ingredientKey: string
  readonly category: string
  readonly values: LotValues
  /** What was tested; a missing member was not. */
  readonly contaminants: Readonly<Partial<Record<ContaminantId, ContaminantValue>>>
  /** By assay, else by the meter at intake, else null. */
  readonly measuredMoisturePct: number | null
  /** What a person must look at: assays that disagree, urea found or not tested. */
  readonly flags: readonly Step[]
}

const fromBook = (book: readonly BookValue[]): LotValues => {
  const values = Object.fromEntries(NUTRIENT_IDS.map((nutrient) => [nutrient, UNKNOWN])) as Record<NutrientId, LotValue>
  for (const { nutrient, value, knownBy, source, sd } of book) {
    const step = { code: knownBy === 'structural-zero' ? 'structural-zero' : 'book', facts: { value, source, read: knownBy === 'book' } }
    values[nutrient] = { value, knownBy, ...(sd === undefined ? {} : { sd }), bookValue: value, from: [step] }
  }
  return values
}

/** A measured content replaces what was believed; below detection it is worth nothing towards a minimum. */
const measuredValue = (result: Result, old: LotValue): KnownValue => ({
  value: result.belowDetection && ANALYTES[result.analyte].worse === 'low' ? 0 : result.value,
  knownBy: result.belowDetection ? 'below-detection' : 'measured',
  ...(result.sd === undefined ? {} : { sd: result.sd }),
  ...(old.bookValue === undefined ? {} : { bookValue: old.bookValue }),
  from: [...old.from, result.step],
})

type Results = Partial<Record<AnalyteId, Result>>

const withMoisture = (
  values: LotValues,
  results: Results,
  intakeMoisturePct: number | null,
): { values: LotValues; moisturePct: number | null } => {
  const measured = results.moisture
  if (measured) return { values: followMoisture(values, measured.value, measured.step, measured.sd), moisturePct: measured.value }
  if (intakeMoisturePct === null) return { values, moisturePct: null }
  const step = { code: 'moisture-at-intake', facts: { moisturePct: intakeMoisturePct } }
  return { values: followMoisture(values, intakeMoisturePct, step), moisturePct: intakeMoisturePct }
}

const withAshAndSand = (values: LotValues, { ash, AIA }: Results): LotValues => {
  const before = { ashPct: values.ash.value, dryMatterPct: values.DM.value }
  if (!ash && (!AIA || AIA.belowDetection)) return values
  const sanded = AIA && !AIA.belowDetection ? followSand(values, AIA.value) : values
  const ashed = ash ? { ...sanded, ash: measuredValue(ash, values.ash) } : sanded
  if (before.ashPct === null || before.dryMatterPct === null) return ashed
  return followAsh(ashed, { ashPct: before.ashPct, dryMatterPct: before.dryMatterPct })
}

/** Values that keep their share of a measured one: digestible of total, available of total phosphorus, linoleic acid of fat. */
const SHARES = {
  EE: ['LA'],
  totP: ['avP', 'phytP'],
  Lys: ['SID_Lys'],
  Met: ['SID_Met'],
  Thr: ['SID_Thr'],
  Trp: ['SID_Trp'],
} as const satisfies Partial<Record<AnalyteId, readonly NutrientId[]>>
const sharesOf = (analyte: AnalyteId): readonly NutrientId[] => (analyte in SHARES ? SHARES[analyte as keyof typeof SHARES] : [])

const withMeasured = (start: LotValues, results: Results): LotValues => {
  let values = start
  for (const analyte of ANALYTE_IDS) {
    const { nutrient } = ANALYTES[analyte]
    const result = results[analyte]
    if (!result || nutrient === null || analyte === 'moisture' || analyte === 'ash') continue
    const before = values[nutrient].value
    const measured = measuredValue(result, values[nutrient])
    values = { ...followShare(values, sharesOf(analyte), before, measured.value, `follows-${nutrient}`), [nutrient]: measured }
  }
  return values
}

const CONTAMINANTS = ['aflatoxin_B1', 'aflatoxin_total', 'urea', 'AIA'] as const satisfies readonly ContaminantId[]
const contaminantsOf = (results: Results): LotComposition['contaminants'] => {
  const found: Partial<Record<ContaminantId, ContaminantValue>> = {}
  for (const id of CONTAMINANTS) {
    const result = results[id]
    if (!result) continue
    found[id] = {
      value: result.value,
      unit: ANALYTES[id].units[0],
      knownBy: result.belowDetection ? 'below-detection' : 'measured',
      step: result.step,
    }
  }
  return found
}

/**
 * What is believed of a lot, per nutrient on the as-fed basis in the nutrient's unit: book values, rescaled by measured moisture
 * (all by dry matter), ash and sand (organic matter), protein (amino acids) and replaced by what was measured. Unknown stays unknown.
 */
export const composeLot = ({ ingredientKey, category, book, assays, intakeMoisturePct = null }: LotInput): LotComposition => {
  const results = resultsOf(assays)
  const urea = ureaState(results.urea, ureaIsKnownFraud(ingredientKey, category))
  const dried = withMoisture(fromBook(book), results, intakeMoisturePct)
  const organic = withAshAndSand(dried.values, results)
  const protein = results.CP && believedProtein(organic, results.CP, urea)
  const aminoAcids = protein ? followProtein(organic, protein, urea) : organic
  const measured = withMeasured(aminoAcids, { ...results, ...(protein ? { CP: protein } : {}) })
  const ureaFlag = urea === 'found' || (urea === 'untested' && protein) ? [{ code: `urea-${urea}`, facts: { ingredientKey } }] : []
  return {
    ingredientKey,
    category,
    values: deriveSums(measured, results.Met !== undefined),
    contaminants: contaminantsOf(results),
    measuredMoisturePct: dried.moisturePct,
    flags: [...Object.values(results).flatMap((result) => result.flag ?? []), ...ureaFlag],
  }
}
