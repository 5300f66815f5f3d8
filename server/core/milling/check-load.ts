import { mixConcentration, type MixPart } from '../formulation/concentration.js'
import type { FormulaLimits } from '../formulation/limits.js'
import type { MixLot } from '../formulation/mix-lot.js'
import { groupRow, ingredientRow } from '../formulation/row-id.js'
import { kgFloat, sumGrams, type Grams } from '../quantity/mass.js'
import { scaleFor, stepOf, type Scales } from './scales.js'

/** A limit that a weighed load breaks; `by` is the miss as a share of the limit (at least of 0.01), infinite where the content is unknown. */
export type LoadViolation = { readonly id: string; readonly by: number }
export type WeighedAmounts = ReadonlyMap<string, Grams>

/** The same millionth as the re-check of a mix: far below what any scale shows. */
export const RELATIVE = 1e-6

function outside(id: string, value: number | null, side: 'min' | 'max', limit: number | undefined): LoadViolation[] {
  if (limit === undefined) return []
  if (value === null || Number.isNaN(value)) return [{ id, by: Number.POSITIVE_INFINITY }]
  const by = (side === 'min' ? limit - value : value - limit) / Math.max(Math.abs(limit), 0.01)
  return by > RELATIVE ? [{ id, by }] : []
}

const quotient = (over: number | null, under: number | null): number | null => (over === null || under === null ? null : over / under)

function shareViolations(
  share: { readonly minPct?: number | undefined; readonly maxPct?: number | undefined },
  held: Grams,
  load: Grams,
  scales: Scales,
  idFor: (side: 'min' | 'max' | 'eq') => string,
): LoadViolation[] {
  const { minPct, maxPct } = share
  if (minPct !== undefined && minPct === maxPct) {
    // a fixed inclusion is kept when the scale could not come nearer
    const target = (minPct / 100) * load
    const miss = Math.abs(held - target)
    return miss < stepOf(scales, scaleFor(scales, target)) ? [] : [{ id: idFor('eq'), by: miss / Math.max(target, 1) }]
  }
  const pct = (held / load) * 100
  return [...outside(idFor('min'), pct, 'min', minPct), ...outside(idFor('max'), pct, 'max', maxPct)]
}

/**
 * Checks weighed grams by lot against the formula's limits, from the lots' contents (unknown counts against the load) and the lots' stock.
 * The one judge of rounding: what it passes may be weighed.
 */
export function loadChecker(lots: readonly MixLot[], limits: FormulaLimits, scales: Scales): (amounts: WeighedAmounts) => LoadViolation[] {
  const freeGrams = new Map(lots.map((lot) => [lot.id, Math.round(lot.freeKg * 1000)]))
  return (amounts) => {
    const load = sumGrams(amounts.values())
    const parts: MixPart[] = lots.map((lot) => ({ kg: kgFloat(amounts.get(lot.id) ?? (0 as Grams)), contents: lot.contents }))
    const heldOf = (ingredientIds: readonly string[]) =>
      sumGrams(lots.flatMap((lot) => (ingredientIds.includes(lot.ingredientId) ? [amounts.get(lot.id) ?? (0 as Grams)] : [])))
    return [
      ...limits.nutrients.flatMap(({ nutrient, min, max }) => {
        const { atLeast, atMost } = mixConcentration(parts, nutrient)
        return [...outside(`nutrient:${nutrient}:min`, atLeast, 'min', min), ...outside(`nutrient:${nutrient}:max`, atMost, 'max', max)]
      }),
      ...limits.ratios.flatMap(({ id, numerator, denominator, min, max }) => {
        const over = mixConcentration(parts, numerator)
        const under = mixConcentration(parts, denominator)
        return [
          ...outside(`ratio:${id}:min`, quotient(over.atLeast, under.atMost), 'min', min),
          ...outside(`ratio:${id}:max`, quotient(over.atMost, under.atLeast), 'max', max),
        ]
      }),
      ...limits.ingredients.flatMap((one) =>
        shareViolations(one, heldOf([one.ingredientId]), load, scales, (side) => `linear:${ingredientRow(one.ingredientId, side)}`),
      ),
      ...limits.groups.flatMap((group) =>
        shareViolations(group, heldOf(group.ingredientIds), load, scales, (side) => `linear:${groupRow(group.id, side)}`),
      ),
      ...lots.flatMap((lot) => {
        const over = (amounts.get(lot.id) ?? 0) - (freeGrams.get(lot.id) ?? 0)
        return over > 0 ? [{ id: `ingredient:${lot.id}:max`, by: over / Math.max(freeGrams.get(lot.id) ?? 0, 1) }] : []
      }),
    ]
  }
}
