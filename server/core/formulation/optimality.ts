import type { LinearProgram } from './linear-program.js'

/** The size of the largest of some coefficients. */
export function largestOf(coefficients: readonly number[]): number {
  let largest = 0
  for (const coefficient of coefficients) largest = Math.max(largest, Math.abs(coefficient))
  return largest
}

const ONE = [1]
/** A dual value below this share of the dearest cost is rounding noise, and pulls on no bound. */
const DUAL_NOISE = 1e-9

/**
 * The lower bound that row duals and reduced costs prove for the cost of any answer (weak duality): each is worth its own side's
 * limit. Minus infinity when one pulls on a side that has no limit, that is, when they prove nothing. What looks like noise beside the dearest
 * cost can be all there is to an answer of cheap things alone, so the bound is worked out with it and without it, and the better one counts.
 */
export function provenBound(lp: LinearProgram, rowDuals: readonly number[], reducedCosts: readonly number[]): number {
  const dearest = Math.max(1e-12, largestOf(lp.variables.map(({ cost }) => cost)))
  let [whole, heard] = [0, 0]
  const add = (
    dual: number,
    coefficients: readonly number[],
    side: { readonly lower: number | null; readonly upper: number | null },
  ): void => {
    if (dual === 0) return
    const isNoise = Math.abs(dual) * largestOf(coefficients) <= DUAL_NOISE * dearest
    const limit = dual > 0 ? side.lower : side.upper
    if (isNoise) whole += dual * (limit ?? 0)
    else {
      const worth = limit === null ? -Infinity : dual * limit
      heard += worth
      whole += worth
    }
  }
  for (const [i, row] of lp.rows.entries()) add(rowDuals[i] ?? Number.NaN, row.coefficients, row)
  for (const [j, variable] of lp.variables.entries()) add(reducedCosts[j] ?? Number.NaN, ONE, variable)
  return Math.max(whole, heard)
}

/** What the costs leave after the rows are paid for: cost - sum of dual x coefficient. The reduced costs that belong to those duals. */
export function reducedCostsOf(lp: LinearProgram, rowDuals: readonly number[]): number[] {
  const reduced = lp.variables.map((variable) => variable.cost)
  for (const [i, row] of lp.rows.entries()) {
    const dual = rowDuals[i] ?? Number.NaN
    for (const [k, column] of row.columns.entries())
      reduced[column] = (reduced[column] ?? Number.NaN) - dual * (row.coefficients[k] ?? Number.NaN)
  }
  return reduced
}
