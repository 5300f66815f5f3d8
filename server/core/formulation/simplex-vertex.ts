import type { Basis, LinearProgram } from './linear-program.js'
import { factorizeSquare, solveRefined, transposed } from './linear-system.js'
import type { DenseForm } from './simplex-form.js'

/** By what share of its terms a limit may be missed by a vertex that is called the optimum; of unit terms, rounding alone comes near it. */
const TOLERANCE = 1e-10
/** What is less, in scaled figures, is rounding of amounts that are zero. */
const NOISE = 1e-13
/** By what share of what is spent the cost of a vertex may differ from what its prices prove, and by what of nothing. */
const OPEN = 1e-9
const OPEN_OF_NOTHING = 1e-15
/** By what share of its terms limits must contradict each other to be said to. */
const CLEARLY = 1e-7
type Vertex = { readonly x: readonly number[]; readonly rowDuals: readonly number[]; readonly reducedCosts: readonly number[] }

/** Amounts and prices of a basis in scaled figures, from the matrix itself and not from what pivoting made of it; null where it is singular. */
function solveBasis(form: DenseForm, { basic, met, atUpper }: Basis): { readonly x: Float64Array; readonly y: Float64Array } | null {
  const { rows, columns, cells, cost, lower, upper } = form
  const size = basic.length
  const high = new Set(atUpper)
  const standing = (variable: number): number => {
    const [low, most] = [lower[variable] ?? 0, upper[variable] ?? 0]
    return high.has(variable) ? most : Number.isFinite(low) ? low : Number.isFinite(most) ? most : 0
  }
  const isBasic = new Set(basic)
  const x = Float64Array.from({ length: columns }, (_, j) => (isBasic.has(j) ? 0 : standing(j)))
  const matrix = new Float64Array(size * size)
  const right = new Float64Array(size)
  for (const [i, row] of met.entries()) {
    let sum = standing(columns + row)
    for (let j = 0; j < columns; j += 1) sum -= (cells[row * columns + j] ?? 0) * (x[j] ?? 0)
    right[i] = sum
    for (const [k, column] of basic.entries()) matrix[i * size + k] = cells[row * columns + column] ?? 0
  }
  const factored = factorizeSquare(matrix, size)
  const turned = transposed(matrix, size)
  const factoredTurned = factorizeSquare(turned, size)
  if (!factored || !factoredTurned) return null
  const amounts = solveRefined(matrix, factored, right)
  for (const [k, column] of basic.entries()) x[column] = amounts[k] ?? Number.NaN
  const prices = solveRefined(
    turned,
    factoredTurned,
    Float64Array.from(basic, (column) => cost[column] ?? 0),
  )
  const y = new Float64Array(rows)
  for (const [i, row] of met.entries()) y[row] = prices[i] ?? Number.NaN
  return { x, y }
}

/** How far a value lies outside its bounds at most, for terms of such a size. */
const within = (value: number, size: number, low: number, high: number): boolean => {
  const slack = TOLERANCE * size + NOISE
  return value >= low - slack && value <= high + slack
}

/** What a price that is not met by its own bound can make the cost wrong by: nothing, where the variable stands at the bound that the price pulls it to. */
function slackness(price: number, value: number, low: number, high: number): number {
  if (price === 0) return 0
  const bound = price > 0 ? low : high
  return Math.abs(price) * (Number.isFinite(bound) ? Math.abs(value - bound) : Math.max(1, Math.abs(value)))
}

/** The vertex of a basis in the program's own figures; null where it is no optimum, as when pivoting has lost too many digits. */
export function optimalVertex(lp: LinearProgram, form: DenseForm, basis: Basis): Vertex | null {
  const solved = solveBasis(form, basis)
  if (!solved) return null
  const { rows, columns, cells, cost, lower, upper, unit, price } = form
  const { x, y } = solved
  const reduced = cost.slice()
  let open = 0
  for (let i = 0; i < rows; i += 1) {
    let activity = 0
    let size = 0
    const dual = y[i] ?? Number.NaN
    for (let j = 0; j < columns; j += 1) {
      const cell = cells[i * columns + j] ?? 0
      const term = cell * (x[j] ?? 0)
      activity += term
      size += Math.abs(term)
      reduced[j] = (reduced[j] ?? 0) - dual * cell
    }
    const [low, high] = [lower[columns + i] ?? 0, upper[columns + i] ?? 0]
    if (!within(activity, size, low, high)) return null
    open += slackness(dual, activity, low, high)
  }
  for (const column of basis.basic) {
    // what the rows do not pay of a column in use, as where the basis is nearly singular
    open += Math.abs((reduced[column] ?? Number.NaN) * (x[column] ?? Number.NaN))
    reduced[column] = 0
  }
  let spent = 0
  for (let j = 0; j < columns; j += 1) {
    const [low, high, value] = [lower[j] ?? 0, upper[j] ?? 0, x[j] ?? Number.NaN]
    if (!within(value, Math.abs(value), low, high)) return null
    open += slackness(reduced[j] ?? Number.NaN, value, low, high)
    spent += Math.abs((cost[j] ?? 0) * value)
  }
  if (!(open <= OPEN * spent + OPEN_OF_NOTHING)) return null
  return {
    x: lp.variables.map((variable, j) => {
      const value = x[j] ?? Number.NaN
      // a bound as it was given, not as scaling it down and up again would have it
      if (value === lower[j] && variable.lower !== null) return variable.lower
      return value === upper[j] && variable.upper !== null ? variable.upper : value * (unit[j] ?? 1)
    }),
    rowDuals: Array.from(y, (dual, i) => (dual * price) / (unit[columns + i] ?? 1)),
    reducedCosts: Array.from(reduced, (dual, j) => (dual * price) / (unit[j] ?? 1)),
  }
}

/**
 * Whether the rows, weighed as a dictionary's row weighs them, demand more than the bounds of the columns allow (Farkas 1902), with room to spare.
 * The weights alone are taken from the dictionary: what they make of the matrix is worked out afresh. `weights` by row: a positive one
 * counts a row's lower limit, a negative one its upper.
 */
export function provesNone({ rows, columns, cells, lower, upper }: DenseForm, weights: Float64Array): boolean {
  let demanded = 0
  let size = 1
  const sums = new Float64Array(columns)
  const terms = new Float64Array(columns)
  for (let i = 0; i < rows; i += 1) {
    const weight = weights[i] ?? Number.NaN
    if (weight === 0) continue
    const worth = weight * ((weight > 0 ? lower : upper)[columns + i] ?? Number.NaN)
    demanded += worth
    size += Math.abs(worth)
    for (let j = 0; j < columns; j += 1) {
      const term = weight * (cells[i * columns + j] ?? 0)
      sums[j] = (sums[j] ?? 0) + term
      terms[j] = (terms[j] ?? 0) + Math.abs(term)
    }
  }
  for (let j = 0; j < columns; j += 1) {
    const sum = sums[j] ?? Number.NaN
    const bound = (sum > 0 ? upper : lower)[j] ?? Number.NaN
    if (sum === 0 || (!Number.isFinite(bound) && Math.abs(sum) <= NOISE * (terms[j] ?? 0))) continue
    demanded -= sum * bound
    size += Math.abs(sum * bound)
  }
  return demanded > CLEARLY * size
}
