import type { LotComposition } from './compose-lot.js'
import { NUTRIENT_IDS, type NutrientId } from './nutrients.js'
import type { Spread } from './spread.js'

/**
 * How far each believed content of a lot may lie from its mean, in each nutrient's own unit, beside `contentsForMix`. A content that
 * is unknown, or whose spread no table and no laboratory gives, is missing; a structural zero has none because it cannot vary.
 */
export const spreadsForMix = ({ values }: LotComposition): Partial<Record<NutrientId, Spread>> => {
  const spreads: Partial<Record<NutrientId, Spread>> = {}
  for (const nutrient of NUTRIENT_IDS) {
    const value = values[nutrient]
    if (value.value !== null && value.spread !== undefined) spreads[nutrient] = value.spread
  }
  return spreads
}
