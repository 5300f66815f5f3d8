import { NUTRIENTS, type NutrientId } from '../composition/nutrients.js'
import type { PerDayLimits, RatioLimit } from '../formulation/limits.js'
import { henEnergyKcal } from './hen-energy.js'

/** Grams of feed that give an energy (kcal) at an energy content (kcal/kg): a bird eats to its energy need. */
export const feedForEnergyG = (energyKcal: number, ameKcalPerKg: number): number => (1000 * energyKcal) / ameKcalPerKg

/** A limit on what a bird gets in a day: grams, for trace nutrients (mg/kg) milligrams, for the electrolyte balance milliequivalents. */
export type PerDayLimit = {
  readonly nutrient: NutrientId
  readonly minPerDay?: number | undefined
  readonly maxPerDay?: number | undefined
}

/** Amount a bird and day for one unit of concentration and one gram of feed: 1 % of a gram is 0.01 g, 1 mg/kg of it 0.001 mg. */
function amountPerUnitAndG(nutrient: NutrientId): number {
  switch (NUTRIENTS[nutrient].unit) {
    case '%':
      return 0.01
    case 'kcal/kg':
    case 'mg/kg':
    case 'mEq/kg':
      return 0.001
  }
}

/** What a bird gets of a nutrient from so many grams of a feed of that concentration (in the nutrient's unit): g, mg, mEq or kcal. */
export const perDay = (nutrient: NutrientId, concentration: number, feedG: number): number =>
  concentration * feedG * amountPerUnitAndG(nutrient)

/** The concentration at which so many grams of feed give a bird that amount (g, mg, mEq or kcal). The inverse of `perDay`. */
export const concentrationFor = (nutrient: NutrientId, amountPerDay: number, feedG: number): number =>
  amountPerDay / (feedG * amountPerUnitAndG(nutrient))

/** What the ids of such ratios begin with. */
export const PER_DAY = 'per-day-'

/**
 * A limit a bird and day as a ratio limit of the feed. A bird eats energy need / AME, so what it gets in a day is exactly
 * (amount in a gram x 1000 x need) x concentration : AME, whatever energy the mix turns out to have. The need is in kcal a day.
 */
export function ratioOfPerDay({ nutrient, minPerDay, maxPerDay }: PerDayLimit, energyKcal: number): RatioLimit {
  const times = 1000 * energyKcal * amountPerUnitAndG(nutrient)
  return { id: `${PER_DAY}${nutrient}`, numerator: nutrient, denominator: 'AME', times, min: minPerDay, max: maxPerDay }
}

/**
 * The ratios that stand for limits a bird and day. Throws a RangeError for birds whose need the energy equation does not know: whoever
 * takes the limits in must refuse those.
 */
export function perDayRatios(perDay: PerDayLimits | undefined): RatioLimit[] {
  if (perDay === undefined || perDay.limits.length === 0) return []
  const need = henEnergyKcal(perDay.birds)
  if (need === null) throw new RangeError('the energy need of these birds is not known')
  return perDay.limits.map((limit) => ratioOfPerDay(limit, need))
}

/** What feed costs a bird and day, in the currency of the price, from grams eaten and the price of a tonne. */
export const costPerBirdDay = (feedG: number, costPerTonne: number): number => (feedG * costPerTonne) / 1_000_000

/** What the feed in twelve eggs costs; null where no egg is laid. Both masses in grams: of egg a bird and day, and of one egg. */
export const costPerDozenEggs = (
  birdDayCost: number,
  { eggMassG, eggWeightG }: { readonly eggMassG: number; readonly eggWeightG: number },
): number | null => (eggMassG > 0 ? (12 * birdDayCost * eggWeightG) / eggMassG : null)
