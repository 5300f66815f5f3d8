import { nutrientsNeeded, valueOf, type FormulaProblem, type ProblemIngredient } from '#core/formulation/problem'

/**
 * A problem as it travels to a thread: the contents that a limit needs as one block of figures (NaN where none is given). Copying the
 * objects took 0.4 to 0.7 ms where a solve took 1.5; the block with what it takes to pack and unpack it 0.3 to 0.4 (measured on a busy machine).
 */
export type PackedProblem = {
  readonly problem: Omit<FormulaProblem, 'ingredients'>
  readonly nutrients: readonly string[]
  /** By ingredient, then nutrient. */
  readonly contents: Float64Array
  readonly ingredients: readonly Omit<ProblemIngredient, 'nutrients'>[]
}

/** Spreads that no limit with `z` asks for count for nothing, and were three quarters of the weight (115 kB of 60 lots against 28, measured). */
function spreadsAsked({ spreads }: ProblemIngredient, asked: ReadonlySet<string>): ProblemIngredient['spreads'] {
  if (!spreads || asked.size === 0) return undefined
  const kept = Object.entries(spreads).filter(([id]) => asked.has(id))
  return kept.length === 0 ? undefined : Object.fromEntries(kept)
}

/** What counts of a problem, packed. */
export function packProblem(whole: FormulaProblem): PackedProblem {
  const { ingredients, ...problem } = whole
  const asked = new Set((problem.nutrients ?? []).flatMap(({ id, z = 0 }) => (z === 0 ? [] : [id])))
  const nutrients = nutrientsNeeded(whole)
  const contents = new Float64Array(ingredients.length * nutrients.length)
  let place = 0
  for (const ingredient of ingredients)
    for (const nutrient of nutrients) {
      contents[place] = valueOf(ingredient.nutrients, nutrient) ?? Number.NaN
      place += 1
    }
  return {
    problem,
    nutrients,
    contents,
    ingredients: ingredients.map((ingredient) => {
      const { nutrients: _packed, spreads: _picked, ...rest } = ingredient
      const spreads = spreadsAsked(ingredient, asked)
      return spreads ? { ...rest, spreads } : rest
    }),
  }
}

/** The problem again. */
export function unpackProblem({ problem, nutrients, contents, ingredients }: PackedProblem): FormulaProblem {
  let place = 0
  return {
    ...problem,
    ingredients: ingredients.map((ingredient) => {
      const values: Record<string, number> = {}
      for (const nutrient of nutrients) {
        const value = contents[place] ?? Number.NaN
        if (!Number.isNaN(value)) values[nutrient] = value
        place += 1
      }
      return { ...ingredient, nutrients: values }
    }),
  }
}
