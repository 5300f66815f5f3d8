import { valueOf, type FormulaProblem, type ProblemIngredient, type ProblemNutrient } from './problem.js'

/** A limit on a nutrient's concentration that must hold with so many standard deviations of the mix to spare. */
export type ChanceLimit = {
  readonly nutrient: string
  readonly min?: number | undefined
  readonly max?: number | undefined
  readonly z: number
}

/** A blend of which some limits must hold with a probability (kind `chance-constrained`). Variances are of each ingredient by itself, independent. */
export type ChanceProblem = Omit<FormulaProblem, 'ingredients'> & {
  readonly ingredients: readonly (ProblemIngredient & { readonly variance?: { readonly [nutrient: string]: number } | undefined })[]
  readonly chance: readonly ChanceLimit[]
}

/** A nutrient may stand among the plain limits too; its chance limit then goes by a name of its own. */
export const CHANCE = '~chance'

/** The same problem as a formula with `z` and spreads. */
export function formulaOfChance({ chance, ingredients, ...problem }: ChanceProblem): FormulaProblem {
  const plain = new Set((problem.nutrients ?? []).map(({ id }) => id))
  const nameOf = (nutrient: string): string => (plain.has(nutrient) ? `${nutrient}${CHANCE}` : nutrient)
  const limits = chance.map(({ nutrient, min, max, z }): ProblemNutrient => ({ id: nameOf(nutrient), min, max, z, basis: 'concentration' }))
  return {
    ...problem,
    nutrients: [...(problem.nutrients ?? []), ...limits],
    ingredients: ingredients.map(({ variance, ...ingredient }) => {
      const asked = chance.map(({ nutrient }) => nutrient)
      const values = asked.flatMap((nutrient) => {
        const value = valueOf(ingredient.nutrients, nutrient)
        return value === undefined ? [] : [[nameOf(nutrient), value] as const]
      })
      const spreads = asked.flatMap((nutrient) => {
        const own = valueOf(variance, nutrient)
        return own === undefined ? [] : [[nameOf(nutrient), { own: Math.sqrt(own) }] as const]
      })
      return {
        ...ingredient,
        nutrients: { ...ingredient.nutrients, ...Object.fromEntries(values) },
        spreads: { ...ingredient.spreads, ...Object.fromEntries(spreads) },
      }
    }),
  }
}
