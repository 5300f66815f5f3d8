import type { MultiProblem } from '#core/formulation/multi'
import type { FormulaProblem } from '#core/formulation/problem'
import type { StatedProblem } from '#core/formulation/stated-problem'

/** Rows are kept with a figure for every amount: so many of them are 400 MB, and a node process ends at two to four thousand. */
const MOST_FIGURES = 50e6

type Blend = Omit<FormulaProblem, 'ingredients'>

/** As many rows as the limits of a blend can make: one a side, and for shares of no fixed batch and for changes one an ingredient. */
function rowsOf(blend: Blend, ingredients: number): number {
  const lists = [blend.nutrients, blend.ratios, blend.linear, blend.groups]
  const shares = blend.inclusionBasis === 'fraction' && blend.batch?.relation !== '=' ? ingredients : 0
  const changes = blend.previous ? ingredients : 0
  return 1 + 2 * (lists.reduce((sum, list) => sum + (list?.length ?? 0), 0) + shares + changes)
}

function rowsOfMulti({ ingredients, products, totals = [], linear = [], inclusionBasis }: MultiProblem): number {
  const own = products.map((product) => rowsOf({ inclusionBasis, ...product }, ingredients.length))
  return own.reduce((sum, rows) => sum + rows, ingredients.length + totals.length + linear.length)
}

const tooLarge = (amounts: number, rows: number): string | null =>
  amounts * rows > MOST_FIGURES ? `${amounts} amounts under up to ${rows} limits: more than ${MOST_FIGURES} figures` : null

/** Why a problem is too large to be solved here; null where it is not. An MPS text is as large as the model it states. */
export function whyTooLarge(stated: Exclude<StatedProblem, { kind: 'mps' }>): string | null {
  switch (stated.kind) {
    case 'multi':
      return tooLarge(stated.problem.ingredients.length * stated.problem.products.length, rowsOfMulti(stated.problem))
    case 'lp':
      return tooLarge(stated.problem.model.vars.length, stated.problem.model.rows.length)
    case 'formula':
    case 'parametric-price':
    case 'chance-constrained':
      return tooLarge(stated.problem.ingredients.length, rowsOf(stated.problem, stated.problem.ingredients.length))
  }
}
