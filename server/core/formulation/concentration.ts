import type { NutrientId } from '../composition/nutrients.js'
import { burdenOf, contentOf, isKnown, worthOf, type Contents } from './mix-lot.js'

/** So many kilograms of something with known or unknown contents. */
export type MixPart = { readonly kg: number; readonly contents: Contents }

/** One nutrient in a mix, in its own unit, as-fed. */
export type Concentration = {
  /** What the mix surely has: parts of unknown content count as nothing. Null where even that cannot be said. */
  readonly atLeast: number | null
  /** What it has at worst: parts of unknown content at their worst case. Null where a part has none. */
  readonly atMost: number | null
  /** Share of the mass whose content is unknown, per cent. */
  readonly unknownPct: number
}

function weightedMean(parts: readonly MixPart[], each: (part: MixPart) => number | null): number | null {
  let total = 0
  let sum = 0
  for (const part of parts) {
    if (part.kg === 0) continue
    const value = each(part)
    if (value === null) return null
    total += part.kg
    sum += part.kg * value
  }
  return total === 0 ? null : sum / total
}

/** The concentration of one nutrient in a mix of parts (kilograms, not negative). All null for an empty mix. */
export function mixConcentration(parts: readonly MixPart[], nutrient: NutrientId): Concentration {
  const content = (part: MixPart) => contentOf(part.contents, nutrient)
  return {
    atLeast: weightedMean(parts, (part) => worthOf(content(part), nutrient)),
    atMost: weightedMean(parts, (part) => burdenOf(content(part), nutrient)),
    unknownPct: weightedMean(parts, (part) => (isKnown(content(part)) ? 0 : 100)) ?? 0,
  }
}

/** The concentrations of several nutrients in a mix. */
export const mixConcentrations = (parts: readonly MixPart[], nutrients: readonly NutrientId[]): ReadonlyMap<NutrientId, Concentration> =>
  new Map(nutrients.map((nutrient) => [nutrient, mixConcentration(parts, nutrient)]))
