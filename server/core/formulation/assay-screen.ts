import { shiftsOf, type AssayTest } from './assay-belief.js'
import { certainRowsOf, deviationOf, type CertainRow } from './certainty-rows.js'
import type { OptimalFormulation } from './formulation.js'
import { unitNormalLoss } from './normal.js'
import type { FormulaProblem } from './problem.js'

const amountsOf = (problem: FormulaProblem, now: OptimalFormulation): number[] =>
  problem.ingredients.map(({ id }) => now.amounts[id] ?? Number.NaN)

/** The change of the cost per unit of a nutrient's content in the whole mix, over all limits on it. */
const priceOfContent = (now: OptimalFormulation, name: string): number =>
  ['min', 'max', 'eq'].reduce((sum, side) => sum + (now.shadowPrices[`nutrient:${name}:${side}`] ?? 0), 0)

/** What a narrower lot saves in a certain limit's margin, at the price of the limit. */
function marginSaved(row: CertainRow, after: CertainRow, amounts: readonly number[], now: OptimalFormulation): number {
  const price = now.certainty?.limits.find(({ id, side }) => id === row.id && side === row.side)?.shadowPrice ?? 0
  return Math.abs(price) * row.z * (deviationOf(row.scatter, amounts).sd - deviationOf(after.scatter, amounts).sd)
}

/**
 * A first look at what a test may be worth, from the prices of the limits alone and without a solve: for a lot in the mix, how much the margin
 * of each certain limit falls; for one that is not, the chance that a good result brings it in (unit normal loss at its distance from entering),
 * for as much of it as there is. It ranks tests and is no worth. Costs are for the batch of the problem.
 */
export function screenOf(problem: FormulaProblem, test: AssayTest, now: OptimalFormulation): number {
  const ingredient = problem.ingredients.find(({ id }) => id === test.ingredient)
  if (!ingredient) return 0
  const shifts = shiftsOf(ingredient, test)
  if (shifts.length === 0) return 0
  const used = now.amounts[test.ingredient] ?? 0
  if (used > 0) {
    const spreads = { ...ingredient.spreads, ...Object.fromEntries(shifts.map(({ name, spread }) => [name, spread])) }
    const narrowed = { ...problem, ingredients: problem.ingredients.map((one) => (one === ingredient ? { ...one, spreads } : one)) }
    const [before, after] = [certainRowsOf(problem), certainRowsOf(narrowed)]
    const amounts = amountsOf(problem, now)
    return before.reduce((sum, row, i) => sum + marginSaved(row, after[i] ?? row, amounts, now), 0)
  }
  const moved = Math.abs(shifts.reduce((sum, { name, meanSd }) => sum + meanSd * priceOfContent(now, name), 0))
  if (moved === 0) return 0
  const size = problem.batch?.size ?? Object.values(now.amounts).reduce((sum, amount) => sum + amount, 0)
  return Math.min(ingredient.max ?? size, size) * moved * unitNormalLoss((now.reducedCosts[test.ingredient] ?? 0) / moved)
}
