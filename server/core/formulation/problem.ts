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
  readonly logic?: readonly unknown[] | undefined
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
  readonly integer?: boolean | undefined
  readonly increment?: number | undefined
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

export type Support = { readonly kind: 'supported' } | { readonly kind: 'unsupported'; readonly what: string }

/** Whether this solver can take the problem whole; what it cannot take yet it names, and never drops. */
export function supportOf(problem: FormulaProblem): Support {
  if (problem.logic?.length) return { kind: 'unsupported', what: 'problem.logic' }
  for (const [i, ingredient] of problem.ingredients.entries()) {
    const what = ingredient.integer
      ? 'integer'
      : ingredient.increment !== undefined
        ? 'increment'
        : ingredient.minIfUsed !== undefined
          ? 'minIfUsed'
          : null
    if (what) return { kind: 'unsupported', what: `problem.ingredients[${i}].${what}` }
  }
  return { kind: 'supported' }
}

/** The value of a record's own member, never of its prototype. */
export const valueOf = (record: { readonly [name: string]: number } | undefined, name: string): number | undefined =>
  record && Object.hasOwn(record, name) ? record[name] : undefined

/** The nutrients that some limit or ratio of the problem needs a value of, in order of first mention. */
export function nutrientsNeeded(problem: FormulaProblem): readonly string[] {
  const ids = [
    ...(problem.nutrients ?? []).map((nutrient) => nutrient.id),
    ...(problem.ratios ?? []).flatMap((ratio) => [...Object.keys(ratio.numerator), ...Object.keys(ratio.denominator)]),
  ]
  return [...new Set(ids)]
}
