import { ANALYTES, ANALYTE_IDS, type AnalyteId } from './analytes.js'
import type { AssayErrorRow } from './assay-error.js'
import { resultsOf, type Assay, type Result } from './assays.js'
import type { BookValue } from './book.js'
import { deriveSums, followAsh, followMoisture, followSand, followShare, sharesOf } from './follow.js'
import { energyByEquation, ENERGY_INPUTS, reachesEquation } from './follow-energy.js'
import type { LotValues, Step } from './lot-value.js'
import { measuredValue, observationOf, type Measuring } from './measured.js'
import type { NutrientId } from './nutrients.js'
import { poisonUpperBound } from './poison-bound.js'
import { priorValues } from './prior.js'
import { cappedProtein, followProtein } from './protein.js'
import type { SupplierRecord } from './supplier-record.js'
import { ureaIsKnownFraud, ureaState, type UreaState } from './urea.js'

export type ContaminantId = Extract<AnalyteId, 'aflatoxin_B1' | 'aflatoxin_total' | 'urea' | 'AIA'>
export type ContaminantValue = {
  /** The detection limit when below detection. */
  readonly value: number
  readonly unit: string
  readonly knownBy: 'measured' | 'below-detection'
  /** Seen by a test that only says yes or no: `value` or more. */
  readonly atLeast?: true
  /** Of mould poisons: what the lot may hold at most, because a sample misses them (19 of 20). It is shown, no limit is compared with it. */
  readonly upperBound?: number
  readonly results: number
  readonly step: Step
}

export type LotInput = {
  readonly ingredientKey: string
  readonly category: string
  readonly book: readonly BookValue[]
  readonly assays: readonly Assay[]
  readonly intakeMoisturePct?: number | null | undefined
  /** Published errors of analysis. Without them a result counts as exact unless its laboratory states its spread. */
  readonly assayErrors?: readonly AssayErrorRow[] | undefined
  readonly supplierRecord?: SupplierRecord | undefined
  /** Of a lot that was made from others: what it has from them stands in the place of book and supplier. */
  readonly inherited?: { readonly values: LotValues; readonly urea: UreaState | undefined } | undefined
}

export type LotComposition = {
  readonly ingredientKey: string
  readonly category: string
  readonly values: LotValues
  /** The results themselves, in the analyte's first unit, as safety rules compare them: never moved towards book or supplier. */
  readonly measured: Readonly<Partial<Record<AnalyteId, { readonly value: number; readonly belowDetection: boolean }>>>
  /** What was tested; a missing member was not. */
  readonly contaminants: Readonly<Partial<Record<ContaminantId, ContaminantValue>>>
  /** By assay, else by the meter at intake, else null. */
  readonly measuredMoisturePct: number | null
  /** What a person must look at: assays that disagree, urea found or not tested. */
  readonly flags: readonly Step[]
  /** Of a lot that was made from others: what each of them was tested for. */
  readonly tested?: readonly AnalyteId[]
}

type Results = Partial<Record<AnalyteId, Result>>
type MeasuringOf = (nutrient: NutrientId) => Measuring

/** From memory: grain meters at the gate read within about half a point. */
const METER_SD = 0.5

const withMoisture = (
  values: LotValues,
  { moisture }: Results,
  { intakeMoisturePct, measuring }: { readonly intakeMoisturePct: number | null; readonly measuring: Measuring },
): { values: LotValues; moisturePct: number | null } => {
  if (moisture) {
    const error = observationOf(moisture, measuring)?.error
    const stated = moisture.sd === undefined ? undefined : { own: moisture.sd }
    return { values: followMoisture(values, moisture.value, moisture.step, error ?? stated), moisturePct: moisture.value }
  }
  if (intakeMoisturePct === null) return { values, moisturePct: null }
  const step = { code: 'moisture-at-intake', facts: { moisturePct: intakeMoisturePct } }
  return { values: followMoisture(values, intakeMoisturePct, step, { own: METER_SD }), moisturePct: intakeMoisturePct }
}

const withAshAndSand = (values: LotValues, { ash, AIA }: Results, measuringOf: MeasuringOf): LotValues => {
  const before = { ashPct: values.ash.value, dryMatterPct: values.DM.value }
  if (!ash && (!AIA || AIA.belowDetection)) return values
  const sanded = AIA && !AIA.belowDetection ? followSand(values, AIA.value) : values
  const ashed = ash ? { ...sanded, ash: measuredValue(ash, AIA ? sanded.ash : values.ash, measuringOf('ash')) } : sanded
  if (before.ashPct === null || before.dryMatterPct === null) return ashed
  return followAsh(ashed, { ashPct: before.ashPct, dryMatterPct: before.dryMatterPct })
}

const withProtein = (
  values: LotValues,
  result: Result | undefined,
  facts: { urea: UreaState; ingredientKey: string; measuring: Measuring },
) => {
  if (!result) return values
  const protein = cappedProtein(values.CP, result, facts.urea) ?? measuredValue(result, values.CP, facts.measuring)
  return { ...followProtein(values, protein, facts.urea, facts.ingredientKey), CP: protein }
}

const withMeasured = (start: LotValues, results: Results, measuringOf: MeasuringOf): LotValues => {
  let values = start
  for (const analyte of ANALYTE_IDS) {
    const { nutrient } = ANALYTES[analyte]
    const result = results[analyte]
    if (!result || nutrient === null || analyte === 'moisture' || analyte === 'ash' || analyte === 'CP') continue
    const before = values[nutrient]
    const measured = measuredValue(result, before, measuringOf(nutrient))
    values = { ...followShare(values, sharesOf(nutrient), before, measured, `follows-${nutrient}`), [nutrient]: measured }
  }
  return values
}

const withEnergy = (values: LotValues, { book, ingredientKey }: LotInput, results: Results, urea: UreaState): LotValues => {
  const isBelieved = (id: AnalyteId): boolean => id !== 'CP' || urea === 'not-needed' || urea === 'clear'
  const known = new Set(ENERGY_INPUTS.filter((id) => results[id] && !results[id].belowDetection && isBelieved(id)))
  if (!reachesEquation(known)) return values
  return { ...values, AME: energyByEquation(values, priorValues(book, ingredientKey), known) ?? values.AME }
}

const CONTAMINANTS = ['aflatoxin_B1', 'aflatoxin_total', 'urea', 'AIA'] as const satisfies readonly ContaminantId[]
const contaminantsOf = (results: Results): LotComposition['contaminants'] => {
  const found: Partial<Record<ContaminantId, ContaminantValue>> = {}
  for (const id of CONTAMINANTS) {
    const result = results[id]
    if (!result) continue
    const [unit] = ANALYTES[id].units
    found[id] = {
      value: result.value,
      unit,
      knownBy: result.belowDetection ? 'below-detection' : 'measured',
      ...(result.atLeast ? { atLeast: true as const } : {}),
      ...(unit === 'ug/kg' && !result.atLeast ? { upperBound: poisonUpperBound(result) } : {}),
      results: result.readings.length,
      step: result.step,
    }
  }
  return found
}

const measuredOf = (results: Results): LotComposition['measured'] =>
  Object.fromEntries(Object.values(results).map(({ analyte, value, belowDetection }) => [analyte, { value, belowDetection }]))

/**
 * What is believed of a lot, per nutrient on the as-fed basis in the nutrient's unit, with its spread: the book with its between-lot
 * deviation, moved towards the supplier's earlier lots, rescaled by measured moisture (all by dry matter), ash and sand (organic matter),
 * updated by each result with its error, and what follows from a result with it (amino acids, shares, energy). Unknown stays unknown.
 */
export const composeLot = (lot: LotInput): LotComposition => {
  const { ingredientKey, category, book, assays, assayErrors: errors = [], intakeMoisturePct = null } = lot
  const results = resultsOf(assays)
  const isFraud = ureaIsKnownFraud(ingredientKey, category)
  const urea = (results.urea ? undefined : lot.inherited?.urea) ?? ureaState(results.urea, isFraud)
  const sds = new Map(book.map(({ nutrient, sd }) => [nutrient, sd]))
  const measuringOf: MeasuringOf = (nutrient) => ({ errors, betweenLotSd: sds.get(nutrient) })
  const prior = lot.inherited?.values ?? priorValues(book, ingredientKey, lot.supplierRecord)
  const dried = withMoisture(prior, results, { intakeMoisturePct, measuring: measuringOf('DM') })
  const organic = withAshAndSand(dried.values, results, measuringOf)
  const aminoAcids = withProtein(organic, results.CP, { urea, ingredientKey, measuring: measuringOf('CP') })
  const measured = withEnergy(withMeasured(aminoAcids, results, measuringOf), lot, results, urea)
  const ureaFlag = urea === 'found' || (urea === 'untested' && results.CP) ? [{ code: `urea-${urea}`, facts: { ingredientKey } }] : []
  return {
    ingredientKey,
    category,
    values: deriveSums(measured, results.Met !== undefined),
    measured: measuredOf(results),
    contaminants: contaminantsOf(results),
    measuredMoisturePct: dried.moisturePct,
    flags: [...Object.values(results).flatMap((result) => result.flag ?? []), ...ureaFlag],
  }
}
