import type { NutrientId } from '../composition/nutrients.js'
import { contentOf, isKnown, type MixLot } from './mix-lot.js'

/** So many kilograms of a lot. */
export type SpreadPart = Pick<MixLot, 'contents' | 'spreads'> & { readonly kg: number }

/**
 * Standard deviation of a nutrient's concentration in a mix, in the nutrient's unit: each part's own deviation by its share, squared and
 * summed, and per shared key the sum over its parts first, because those err together. Parts of unknown content add nothing, as to the
 * mean. Null for an empty mix, or where it is not known how far a part may lie from its mean.
 */
export function mixSd(parts: readonly SpreadPart[], nutrient: NutrientId): number | null {
  const total = parts.reduce((sum, { kg }) => sum + kg, 0)
  if (!(total > 0)) return null
  let ownSquares = 0
  const shared = new Map<string, number>()
  for (const { kg, contents, spreads } of parts) {
    const content = contentOf(contents, nutrient)
    // a content of nothing, such as the protein of limestone, is exact
    if (kg === 0 || !isKnown(content) || content === 0) continue
    const spread = spreads?.[nutrient]
    if (spread === undefined) return null
    const share = kg / total
    ownSquares += (share * spread.own) ** 2
    for (const [key, sd] of Object.entries(spread.shared ?? {})) shared.set(key, (shared.get(key) ?? 0) + share * sd)
  }
  return Math.hypot(Math.sqrt(ownSquares), ...shared.values())
}
