import type { NutrientId } from '../composition/nutrients.js'
import type { FormulaLimits } from '../formulation/limits.js'
import { burdenOf, contentOf, worthOf, type MixLot } from '../formulation/mix-lot.js'
import type { Grams } from '../quantity/mass.js'
import { RELATIVE } from './check-load.js'
import { scaleFor, stepOf, type Scales } from './scales.js'

/** Grams of each lot, in the order of the lots. */
type Amounts = readonly number[]
type Row = (amounts: Amounts) => number
type Sides = { readonly min?: number | undefined; readonly max?: number | undefined }

const missOf = (value: number, { min, max }: Sides): number => {
  if (Number.isNaN(value)) return Number.POSITIVE_INFINITY
  const below = min === undefined ? 0 : (min - value) / Math.max(Math.abs(min), 0.01)
  const above = max === undefined ? 0 : (value - max) / Math.max(Math.abs(max), 0.01)
  return (below > RELATIVE ? below : 0) + (above > RELATIVE ? above : 0)
}

/** The mean over the load; not a number where a part that is there cannot be counted. */
function meanOf(coefficients: readonly (number | null)[], load: number): Row {
  const dense = Float64Array.from(coefficients, (value) => value ?? Number.NaN)
  return (amounts) => {
    let sum = 0
    for (let i = 0; i < dense.length; i += 1) {
      const amount = amounts[i] ?? 0
      if (amount !== 0) sum += amount * (dense[i] ?? Number.NaN)
    }
    return sum / load
  }
}

/**
 * How far a load of that mass is from keeping its limits: the sum of what `loadChecker` would report, worked out from dense rows without
 * making anything anew, because rounding asks it some hundred thousand times. The stock of the lots is not in it. What the search ends at
 * is judged by `loadChecker` itself.
 */
export function loadDistance(lots: readonly MixLot[], limits: FormulaLimits, scales: Scales, load: Grams): Row {
  const worth = (nutrient: NutrientId): Row =>
    meanOf(
      lots.map(({ contents }) => worthOf(contentOf(contents, nutrient), nutrient)),
      load,
    )
  const burden = (nutrient: NutrientId): Row =>
    meanOf(
      lots.map(({ contents }) => burdenOf(contentOf(contents, nutrient), nutrient)),
      load,
    )
  const share = (ingredientIds: readonly string[]): Row =>
    meanOf(
      lots.map(({ ingredientId }) => (ingredientIds.includes(ingredientId) ? 100 : 0)),
      load,
    )

  const sharesKept = (ingredientIds: readonly string[], { min, max }: Sides): Row => {
    const pct = share(ingredientIds)
    if (min === undefined || min !== max) return (amounts) => missOf(pct(amounts), { min, max })
    const target = (min / 100) * load
    const step = stepOf(scales, scaleFor(scales, target))
    return (amounts) => {
      const miss = Math.abs((pct(amounts) * load) / 100 - target)
      return miss < step - 1e-6 ? 0 : miss / Math.max(target, 1)
    }
  }
  const rows: Row[] = [
    ...limits.nutrients.flatMap(({ nutrient, min, max }) => {
      const [least, most] = [worth(nutrient), burden(nutrient)]
      return [
        (amounts: Amounts) => (min === undefined ? 0 : missOf(least(amounts), { min })),
        (amounts: Amounts) => (max === undefined ? 0 : missOf(most(amounts), { max })),
      ]
    }),
    ...limits.ratios.flatMap(({ numerator, denominator, min, max }) => {
      const [low, high, under, over] = [worth(numerator), burden(numerator), worth(denominator), burden(denominator)]
      return [
        (amounts: Amounts) => (min === undefined ? 0 : missOf(low(amounts) / over(amounts), { min })),
        (amounts: Amounts) => (max === undefined ? 0 : missOf(high(amounts) / under(amounts), { max })),
      ]
    }),
    ...limits.ingredients.map(({ ingredientId, minPct, maxPct }) => sharesKept([ingredientId], { min: minPct, max: maxPct })),
    ...limits.groups.map(({ ingredientIds, minPct, maxPct }) => sharesKept(ingredientIds, { min: minPct, max: maxPct })),
  ]
  return (amounts) => {
    let sum = 0
    for (const row of rows) sum += row(amounts)
    return sum
  }
}
