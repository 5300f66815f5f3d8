import type { SpreadKind } from './deviation.js'
import type { NutrientId } from './nutrients.js'

/** One value of a published or remembered table, as-fed at the dry matter of the same table row. A missing row means unknown. */
export type BookValue = {
  readonly nutrient: NutrientId
  readonly value: number
  readonly knownBy: 'book' | 'memory' | 'structural-zero'
  readonly source: string
  readonly note?: string
  /** Between-lot standard deviation in the nutrient's unit; `sdKind` says whether of this ingredient or pooled from its category. */
  readonly sd?: number
  readonly sdKind?: SpreadKind
  readonly sdSource?: string
}

/** An ingredient as the tables know it. `category` is one of the reference table, e.g. `oilseed_meal`. */
export type BookIngredient = { readonly key: string; readonly category: string; readonly book: readonly BookValue[] }

export type WorstCase = { readonly value: number; readonly ingredientKey: string; readonly source: string }
export type WorstCases = ReadonlyMap<string, Partial<Record<NutrientId, WorstCase>>>

/**
 * The worst case of a nutrient that nobody knows for one lot: the largest book value among the ingredients of its
 * category, by category and nutrient. Where no ingredient of the category has a value there is no worst case.
 */
export const worstCases = (ingredients: readonly BookIngredient[]): WorstCases => {
  const byCategory = new Map<string, Partial<Record<NutrientId, WorstCase>>>()
  for (const { key, category, book } of ingredients) {
    const worst = byCategory.get(category) ?? {}
    byCategory.set(category, worst)
    for (const { nutrient, value, source } of book) {
      if (value > (worst[nutrient]?.value ?? -Infinity)) worst[nutrient] = { value, ingredientKey: key, source }
    }
  }
  return byCategory
}
