import type { HenDay } from '../requirement/hen-energy.js'
import type { PerDayLimit } from '../requirement/intake.js'
import type { NutrientId } from '../composition/nutrients.js'

/** A nutrient limit on the concentration in the finished feed, as-fed, in the nutrient's own unit. */
export type NutrientLimit = {
  readonly nutrient: NutrientId
  readonly min?: number | undefined
  readonly max?: number | undefined
  /** The probability, from 0.5 to below 1, with which each side must hold by itself, given what is believed of the lots. Missing: 0.5, the mean. */
  readonly certainty?: number | undefined
}

/** `numerator / denominator` of two nutrient concentrations, e.g. calcium to available phosphorus. */
export type RatioLimit = {
  readonly id: string
  readonly numerator: NutrientId
  readonly denominator: NutrientId
  /** The numerator counts so many times; missing: once. */
  readonly times?: number | undefined
  readonly min?: number | undefined
  readonly max?: number | undefined
}

/** Share of one ingredient (all its lots together) in the feed, per cent of the mass. `minPct === maxPct` is a fixed inclusion. */
export type IngredientLimit = {
  readonly ingredientId: string
  readonly minPct?: number | undefined
  readonly maxPct?: number | undefined
}

/** Share of several ingredients together, per cent of the mass. */
export type GroupLimit = {
  readonly id: string
  readonly ingredientIds: readonly string[]
  readonly minPct?: number | undefined
  readonly maxPct?: number | undefined
}

/** Limits on what a bird gets in a day, for birds that eat to their energy need. */
export type PerDayLimits = { readonly birds: HenDay; readonly limits: readonly PerDayLimit[] }

/** What a formula version fixes: limits, not one recipe. */
export type FormulaLimits = {
  readonly nutrients: readonly NutrientLimit[]
  readonly ratios: readonly RatioLimit[]
  readonly ingredients: readonly IngredientLimit[]
  readonly groups: readonly GroupLimit[]
  readonly perDay?: PerDayLimits | undefined
}
