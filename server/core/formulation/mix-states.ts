import type { NutrientId } from '../composition/nutrients.js'
import { mixConcentration, type Concentration, type MixPart } from './concentration.js'
import type { OptimalFormulation } from './formulate.js'
import type { FormulaLimits } from './limits.js'
import type { MixLot } from './mix-lot.js'
import { describeRow, type RowMeaning } from './row-id.js'

/** One nutrient of a mix against its limits. */
export type NutrientState = Concentration & {
  readonly nutrient: NutrientId
  readonly min: number | null
  readonly max: number | null
  readonly state: 'inside' | 'at-min' | 'at-max'
}

/** A limit that is met with equality, what it stands for, and its price per unit of its row (0 where it costs nothing). */
export type BindingLimit = { readonly id: string; readonly meaning: RowMeaning; readonly shadowPrice: number }

/** The mix's parts that are used, with their contents. */
export const partsOf = (found: OptimalFormulation, lots: readonly MixLot[]): (MixPart & { readonly lotId: string })[] =>
  lots.flatMap((lot) => {
    const kg = found.amounts[lot.id] ?? 0
    return kg > 0 ? [{ lotId: lot.id, kg, contents: lot.contents }] : []
  })

/** The side that binds; of two the dearer. */
function boundSide(bound: readonly BindingLimit[], nutrient: NutrientId): 'min' | 'max' | null {
  const own = bound.filter(({ meaning }) => meaning.kind === 'nutrient' && meaning.nutrient === nutrient)
  const dearest = own.sort((a, b) => Math.abs(b.shadowPrice) - Math.abs(a.shadowPrice))[0]
  if (!dearest || dearest.meaning.kind !== 'nutrient') return null
  return dearest.meaning.side === 'max' ? 'max' : 'min'
}

/**
 * The limits of a mix that bind. A lot that is used up carries the worth of one more kilogram as a negative price.
 */
export const bindingLimits = (found: OptimalFormulation): BindingLimit[] =>
  found.binding.map((id) => {
    const meaning = describeRow(id)
    const reduced = meaning.kind === 'stock' || meaning.kind === 'lot' ? found.reducedCosts[meaning.lotId] : undefined
    return { id, meaning, shadowPrice: found.shadowPrices[id] ?? reduced ?? 0 }
  })

/** Every limited nutrient of a solved mix: what it holds (with the unknown part), its limits, and which of them it stands at. */
export function nutrientStates(found: OptimalFormulation, lots: readonly MixLot[], limits: FormulaLimits): NutrientState[] {
  const parts = partsOf(found, lots)
  const bound = bindingLimits(found)
  return limits.nutrients.map(({ nutrient, min, max }) => {
    const side = boundSide(bound, nutrient)
    return {
      nutrient,
      ...mixConcentration(parts, nutrient),
      min: min ?? null,
      max: max ?? null,
      state: side === null ? 'inside' : side === 'min' ? 'at-min' : 'at-max',
    }
  })
}
