import type { Basis, LinearProgram } from './linear-program.js'
import { factorizeSquare, solveRefined, transposed } from './linear-system.js'
import type { DenseForm } from './simplex-form.js'

/** What a vertex must keep, in scaled figures, to be called the optimum: a tenth of what the re-check allows, and less. */
const TOLERANCE = 1e-9
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

const within = (value: number, low: number, high: number): boolean => {
  const slack = TOLERANCE * Math.max(1, Math.abs(value))
  return value >= low - slack && value <= high + slack
}

/** Whether a price pulls towards the bound at which its variable stands, or is nothing. */
const pulls = (price: number, value: number, low: number, high: number): boolean => {
  if (Math.abs(price) <= TOLERANCE) return true
  const bound = price > 0 ? low : high
  return Math.abs(value - bound) <= TOLERANCE * Math.max(1, Math.abs(value))
}

/** The vertex of a basis in the program's own figures; null where it is no optimum, as when pivoting has lost too many digits. */
export function optimalVertex(lp: LinearProgram, form: DenseForm, basis: Basis): Vertex | null {
  const solved = solveBasis(form, basis)
  if (!solved) return null
  const { rows, columns, cells, cost, lower, upper, unit, price } = form
  const { x, y } = solved
  const reduced = cost.slice()
  for (let i = 0; i < rows; i += 1) {
    let activity = 0
    for (let j = 0; j < columns; j += 1) {
      const cell = cells[i * columns + j] ?? 0
      activity += cell * (x[j] ?? 0)
      reduced[j] = (reduced[j] ?? 0) - (y[i] ?? 0) * cell
    }
    const [low, high] = [lower[columns + i] ?? 0, upper[columns + i] ?? 0]
    if (!within(activity, low, high) || !pulls(y[i] ?? Number.NaN, activity, low, high)) return null
  }
  for (const column of basis.basic) reduced[column] = 0
  for (let j = 0; j < columns; j += 1) {
    const [low, high] = [lower[j] ?? 0, upper[j] ?? 0]
    if (!within(x[j] ?? Number.NaN, low, high) || !pulls(reduced[j] ?? Number.NaN, x[j] ?? 0, low, high)) return null
  }
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
