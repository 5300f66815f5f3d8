import type { WorstCases } from './book.js'
import type { LotComposition } from './compose-lot.js'
import { NUTRIENT_IDS, type NutrientId } from './nutrients.js'

/** A content as a mix counts it: unknown is worth nothing towards a minimum and its worst case, if there is one, towards a maximum. */
export type Content = number | { readonly unknown: true; readonly worstCaseMax?: number }

/** The contents of a lot for the mix problem, in each nutrient's own unit. */
export const contentsForMix = (composition: LotComposition, worst: WorstCases = new Map()): Partial<Record<NutrientId, Content>> => {
  const worstOfCategory = worst.get(composition.category)
  const contents: Partial<Record<NutrientId, Content>> = {}
  for (const nutrient of NUTRIENT_IDS) {
    const value = composition.values[nutrient]
    const worstCase = worstOfCategory?.[nutrient]
    contents[nutrient] = value.value ?? { unknown: true, ...(worstCase ? { worstCaseMax: worstCase.value } : {}) }
  }
  return contents
}
