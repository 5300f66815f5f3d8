import type { Spread } from '../composition/spread.js'

/**
 * One blend to be made at least cost: the form of kind `formula` in `seed/reference/README.md`.
 * Amounts are in the unit of the batch; a nutrient value is per unit of amount.
 */
export type FormulaProblem = {
  readonly batch?: { readonly size: number; readonly relation: '=' | '>=' | '<='; readonly unit?: string | undefined } | undefined
  /** `fraction`: `min` and `max` of ingredients are fractions of the batch; otherwise amounts. */
  readonly inclusionBasis?: 'fraction' | 'amount' | undefined
  readonly ingredients: readonly ProblemIngredient[]
  readonly nutrients?: readonly ProblemNutrient[] | undefined
  readonly ratios?: readonly ProblemRatio[] | undefined
  readonly linear?: readonly ProblemLinear[] | undefined
  readonly logic?: readonly ProblemLogic[] | undefined
  readonly groups?: readonly ProblemGroup[] | undefined
  readonly previous?: ProblemPrevious | undefined
  /** Stands for the largest amount of an ingredient whose use is a choice where no limit gives one. */
  readonly bigM?: number | undefined
}

export type ProblemIngredient = {
  readonly id: string
  readonly cost: number
  /** Every nutrient that a limit or a ratio names must stand here: what is missing is unknown, and unknown is never zero. */
  readonly nutrients?: { readonly [nutrient: string]: number } | undefined
  /** How far each nutrient may lie from the value above; missing: it is exact. Counts only in limits with `z`. */
  readonly spreads?: { readonly [nutrient: string]: Spread } | undefined
  readonly min?: number | undefined
  readonly max?: number | undefined
  /** A whole number. */
  readonly integer?: boolean | undefined
  /** A whole multiple of this. */
  readonly increment?: number | undefined
  /** Zero, or at least this (an amount, also where `inclusionBasis` is `fraction`). */
  readonly minIfUsed?: number | undefined
}

/** `total`: sum of nutrient x amount; `concentration`: that sum divided by the total amount. */
export type ProblemNutrient = {
  readonly id: string
  readonly min?: number | undefined
  readonly max?: number | undefined
  readonly basis: 'total' | 'concentration'
  /** The limit must hold with so many standard deviations of the mix to spare (0 or missing: at the mean). Needs a fixed batch or `total`. */
  readonly z?: number | undefined
}

/** Weighted nutrients over weighted nutrients. */
export type ProblemRatio = {
  readonly id: string
  readonly numerator: { readonly [nutrient: string]: number }
  readonly denominator: { readonly [nutrient: string]: number }
  readonly min?: number | undefined
  readonly max?: number | undefined
}

export type ProblemLinear = {
  readonly id: string
  readonly coefs: { readonly [ingredient: string]: number }
  readonly min?: number | undefined
  readonly max?: number | undefined
}

/**
 * Which ingredients are used together. An ingredient is used when it is above zero, by at least its `minIfUsed` or its `increment`, else by a
 * millionth of the most that can be used of it. `eitherOr`: exactly one of the items.
 */
export type ProblemLogic = { readonly id: string } & (
  | { readonly type: 'atMost' | 'atLeast'; readonly k: number; readonly items: readonly string[] }
  | { readonly type: 'eitherOr'; readonly items: readonly string[] }
  | { readonly type: 'implies'; readonly if: string; readonly then: string }
)

/** The sum of several ingredients, in the basis of `inclusionBasis`. */
export type ProblemGroup = {
  readonly id: string
  readonly items: readonly string[]
  readonly min?: number | undefined
  readonly max?: number | undefined
}

/** How far each ingredient may move from a mix made before, both in the basis of `inclusionBasis`; one not in that mix had none of it. */
export type ProblemPrevious = {
  readonly amounts: { readonly [ingredient: string]: number }
  /** For all ingredients, or by ingredient (those not named may change freely). */
  readonly maxChange: number | { readonly [ingredient: string]: number }
}

/** The value of a record's own member, never of its prototype, which holds no numbers (with `Object.hasOwn` this alone was 7 % of a whole solve, profiled). */
export const valueOf = (record: { readonly [name: string]: number } | undefined, name: string): number | undefined => {
  const value: unknown = record?.[name]
  return typeof value === 'number' ? value : undefined
}

/** The nutrients that some limit or ratio of the problem needs a value of, in order of first mention. */
export function nutrientsNeeded(problem: FormulaProblem): readonly string[] {
  const ids = [
    ...(problem.nutrients ?? []).map((nutrient) => nutrient.id),
    ...(problem.ratios ?? []).flatMap((ratio) => [...Object.keys(ratio.numerator), ...Object.keys(ratio.denominator)]),
  ]
  return [...new Set(ids)]
}

/** The most that an ingredient may move from the previous mix; undefined where it may move freely. */
export const changeAllowed = ({ maxChange }: ProblemPrevious, ingredient: string): number | undefined =>
  typeof maxChange === 'number' ? maxChange : valueOf(maxChange, ingredient)
