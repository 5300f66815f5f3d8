import { nutrientsNeeded, valueOf, type FormulaProblem, type ProblemIngredient } from '#core/formulation/problem'

type Rest = Omit<ProblemIngredient, 'id' | 'cost' | 'min' | 'max' | 'nutrients'>

/**
 * A problem as it travels to a thread: the figures of its ingredients as one block. Copying the objects took 0.4 to 0.7 ms where a solve
 * took 1.5 (measured on a busy machine), because an object costs far more to copy than a figure.
 */
export type PackedProblem = {
  readonly problem: Omit<FormulaProblem, 'ingredients'>
  readonly ids: readonly string[]
  readonly nutrients: readonly string[]
  /** By ingredient: cost, least, most, and the contents that a limit needs. NaN where none is given. */
  readonly figures: Float64Array
  /** What few ingredients have, by place. */
  readonly rest: ReadonlyMap<number, Rest>
}

const BEFORE_CONTENTS = 3

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
  const figures = new Float64Array(ingredients.length * (BEFORE_CONTENTS + nutrients.length))
  const ids: string[] = []
  const rest = new Map<number, Rest>()
  let place = 0
  const put = (figure: number | undefined) => {
    figures[place] = figure ?? Number.NaN
    place += 1
  }
  for (const [i, ingredient] of ingredients.entries()) {
    const { id, cost, min, max, nutrients: contents, spreads: _picked, ...others } = ingredient
    ids.push(id)
    put(cost)
    put(min)
    put(max)
    for (const nutrient of nutrients) put(valueOf(contents, nutrient))
    const spreads = spreadsAsked(ingredient, asked)
    if (spreads || Object.keys(others).length > 0) rest.set(i, spreads ? { ...others, spreads } : others)
  }
  return { problem, ids, nutrients, figures, rest }
}

/** The problem again. */
export function unpackProblem({ problem, ids, nutrients, figures, rest }: PackedProblem): FormulaProblem {
  let place = 0
  const take = () => {
    const figure = figures[place] ?? Number.NaN
    place += 1
    return Number.isNaN(figure) ? undefined : figure
  }
  return {
    ...problem,
    ingredients: ids.map((id, i) => {
      // a cost is never unknown
      const [cost = Number.NaN, min, max] = [take(), take(), take()]
      const values: Record<string, number> = {}
      for (const nutrient of nutrients) {
        const value = take()
        if (value !== undefined) values[nutrient] = value
      }
      const others = rest.get(i)
      return others ? { id, cost, min, max, nutrients: values, ...others } : { id, cost, min, max, nutrients: values }
    }),
  }
}
