import { mixConcentration, type MixPart } from '../formulation/concentration.js'
import { certaintyViolations } from '../formulation/certainty-recheck.js'
import type { FormulaLimits, NutrientLimit } from '../formulation/limits.js'
import type { MixLot } from '../formulation/mix-lot.js'
import { mixProblem, ratiosOf } from '../formulation/mix-problem.js'
import { groupRow, ingredientRow, WORST } from '../formulation/row-id.js'
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

const quotient = (over: number | null, under: number | null, times: number): number | null =>
  over === null || under === null ? null : (times * over) / under

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

const isCertain = ({ certainty }: NutrientLimit): boolean => certainty !== undefined && certainty > 0.5

/** Limits that must hold with a certainty, by the covariances of the lots' contents. A lot of which nobody says how far it may lie breaks them. */
function certaintyChecker(lots: readonly MixLot[], limits: FormulaLimits): (amounts: WeighedAmounts) => LoadViolation[] {
  const certain = limits.nutrients.filter(isCertain)
  if (certain.length === 0) return () => []
  const stocked = lots.map((lot) => ({ ...lot, freeKg: Number.MAX_VALUE }))
  const only = { nutrients: certain, ratios: [], ingredients: [], groups: [] }
  const { problem, leftOut } = mixProblem({ batchKg: 1, lots: stocked, limits: only })
  const sizes: ReadonlyMap<string, number | undefined> = new Map(
    certain.flatMap(({ nutrient, min, max }) => [[`nutrient:${nutrient}:min`, min] as const, [`nutrient:${nutrient}:max`, max] as const]),
  )
  const unsure = (amounts: WeighedAmounts): LoadViolation[] =>
    leftOut.flatMap(({ lotId, nutrient, reason }) =>
      reason === 'no-spread' && (amounts.get(lotId) ?? 0) > 0
        ? certain.flatMap((one) => {
            const side = one.min === undefined ? 'max' : 'min'
            return one.nutrient === nutrient ? [{ id: `nutrient:${nutrient}:${side}`, by: Number.POSITIVE_INFINITY }] : []
          })
        : [],
    )
  return (amounts) => [
    ...unsure(amounts),
    ...certaintyViolations(
      problem,
      problem.ingredients.map(({ id }) => kgFloat(amounts.get(id) ?? (0 as Grams))),
    ).map(({ id, by }) => {
      const plain = id.replace(WORST, '')
      return { id: plain, by: by / Math.max(Math.abs(sizes.get(plain) ?? 0), 0.01) }
    }),
  ]
}

/**
 * Checks weighed grams by lot against the formula's limits, from the lots' contents (unknown counts against the load) and the lots' stock.
 * The one judge of rounding: what it passes may be weighed.
 */
export function loadChecker(lots: readonly MixLot[], limits: FormulaLimits, scales: Scales): (amounts: WeighedAmounts) => LoadViolation[] {
  const freeGrams = new Map(lots.map((lot) => [lot.id, Math.round(lot.freeKg * 1000)]))
  const certainty = certaintyChecker(lots, limits)
  const ratios = ratiosOf(limits)
  return (amounts) => {
    const load = sumGrams(amounts.values())
    const parts: MixPart[] = lots.map((lot) => ({ kg: kgFloat(amounts.get(lot.id) ?? (0 as Grams)), contents: lot.contents }))
    const heldOf = (ingredientIds: readonly string[]) =>
      sumGrams(lots.flatMap((lot) => (ingredientIds.includes(lot.ingredientId) ? [amounts.get(lot.id) ?? (0 as Grams)] : [])))
    const atMean = [
      ...limits.nutrients.flatMap(({ nutrient, min, max }) => {
        const { atLeast, atMost } = mixConcentration(parts, nutrient)
        return [...outside(`nutrient:${nutrient}:min`, atLeast, 'min', min), ...outside(`nutrient:${nutrient}:max`, atMost, 'max', max)]
      }),
      ...ratios.flatMap(({ id, numerator, denominator, times = 1, min, max }) => {
        const over = mixConcentration(parts, numerator)
        const under = mixConcentration(parts, denominator)
        return [
          ...outside(`ratio:${id}:min`, quotient(over.atLeast, under.atMost, times), 'min', min),
          ...outside(`ratio:${id}:max`, quotient(over.atMost, under.atLeast, times), 'max', max),
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
    const said = new Set(atMean.map(({ id }) => id))
    return [...atMean, ...certainty(amounts).filter(({ id }) => !said.has(id))]
  }
}
