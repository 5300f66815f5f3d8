import type { AnalyteId } from './analytes.js'
import { COMPOUND_FEED_WEIGHTS, compoundFeedEnergyMjPerKg, KCAL_PER_MJ } from './energy.js'
import { followedKnownBy, spreadParts, type LotValue, type LotValues } from './lot-value.js'
import type { NutrientId } from './nutrients.js'
import { addLinked, addSpreads, scaleSpread, type Spread } from './spread.js'

export const ENERGY_INPUTS = ['CP', 'EE', 'starch', 'sugars'] as const satisfies readonly (NutrientId & AnalyteId)[]
/** The official tolerance of the equation is 0.4 MJ/kg (`mill_practice.csv` FOR-02, read), taken as two standard deviations. */
const EQUATION_SD_KCAL = (0.4 / 2) * KCAL_PER_MJ

/** Parts that make up the whole product. */
const PARTS = ['CP', 'EE', 'ash', 'starch', 'sugars', 'TDF'] as const satisfies readonly NutrientId[]
/** The parts may miss or exceed 100 % by so much (working judgement; the reference calls 93 to 97 % of grains low). */
const BALANCE_POINTS = 3

/** One input at most may come from the book. */
export const reachesEquation = (known: ReadonlySet<AnalyteId>): boolean => ENERGY_INPUTS.filter((input) => !known.has(input)).length <= 1

const closes = (values: LotValues): boolean => {
  const parts = PARTS.map((nutrient) => values[nutrient].value)
  if (values.DM.value === null || parts.some((part) => part === null)) return false
  const total = 100 - values.DM.value + parts.reduce<number>((sum, part) => sum + (part ?? 0), 0)
  return Math.abs(total - 100) <= BALANCE_POINTS
}

const energyOf = (values: Pick<LotValues, (typeof ENERGY_INPUTS)[number]>): number | undefined =>
  compoundFeedEnergyMjPerKg({
    proteinPct: values.CP.value ?? undefined,
    fatPct: values.EE.value ?? undefined,
    starchPct: values.starch.value ?? undefined,
    sugarsPct: values.sugars.value ?? undefined,
  })

const inputSpread = (values: LotValues): Spread | undefined => {
  const spreads = ENERGY_INPUTS.map((nutrient) => {
    const value: LotValue = values[nutrient]
    return value.value === null || value.spread === undefined ? undefined : scaleSpread(value.spread, COMPOUND_FEED_WEIGHTS[nutrient])
  })
  const known = spreads.filter((spread) => spread !== undefined)
  return known.length < ENERGY_INPUTS.length ? undefined : addLinked(...known)
}

/**
 * Energy by the prediction equation: the book's energy moves as the equation moves from the book's analysis to the lot's. When all inputs
 * were measured, or all but one and the parts add up to 100 % within three points; else undefined, and energy stays with dry matter
 * and ash. `known` are the analytes with a result that may be believed as what it says (nitrogen without urea).
 */
export const energyByEquation = (values: LotValues, book: LotValues, known: ReadonlySet<AnalyteId>): LotValue | undefined => {
  const missing = ENERGY_INPUTS.filter((input) => !known.has(input)).length
  if (missing > 1 || (missing === 1 && !closes(values))) return undefined
  const [before, after, energy] = [energyOf(book), energyOf(values), book.AME]
  if (before === undefined || after === undefined || before <= 0 || energy.value === null) return undefined
  const factor = after / before
  const value = energy.value * factor
  const inputs = inputSpread(values)
  const spread = inputs && addSpreads(scaleSpread(inputs, energy.value / before), { own: EQUATION_SD_KCAL })
  const facts = {
    before: energy.value,
    equationBook: before,
    equation: after,
    factor,
    measured: ENERGY_INPUTS.length - missing,
    source: 'EU152_2009',
  }
  const { sd: _sd, spread: _spread, ...rest } = energy
  return {
    ...rest,
    value,
    knownBy: followedKnownBy(energy.knownBy),
    ...spreadParts(spread),
    from: [...energy.from, { code: 'follows-energy-equation', facts }],
  }
}
