import type { LinearProgram, LinearRow, LinearSolver, LinearVariable } from './linear-program.js'

/**
 * What proves the class of a linear program, checked by plain arithmetic and not by a solver's word. `infeasible`: multipliers of the rows
 * whose combination no point within the variables' bounds can meet (Farkas' lemma); all zero where the sides of one row or variable cross.
 */
export type ClassProof =
  | { readonly kind: 'feasible'; readonly x: readonly number[] }
  | { readonly kind: 'infeasible'; readonly multipliers: readonly number[] }
  | { readonly kind: 'unknown' }

/** How far a row or bound may be missed, as a share of the terms that make it up: a millionth, as in the re-check. */
const FEASIBLE = 1e-6
/** What is smaller than this share of the terms it was summed from is rounding noise. */
const NOISE = 1e-9

type Sum = { readonly value: number; readonly size: number }

const sumOf = (terms: readonly number[]): Sum => ({
  value: terms.reduce((sum, term) => sum + term, 0),
  size: terms.reduce((sum, term) => sum + Math.abs(term), 0),
})
const activity = (row: LinearRow, x: readonly number[]): Sum =>
  sumOf(row.columns.map((column, k) => (row.coefficients[k] ?? Number.NaN) * (x[column] ?? Number.NaN)))

const inside = ({ value, size }: Sum, lower: number | null, upper: number | null, tolerance: number): boolean => {
  const slack = (limit: number) => tolerance * Math.max(size, Math.abs(limit)) + 1e-9
  return (lower === null || value >= lower - slack(lower)) && (upper === null || value <= upper + slack(upper))
}

/** Whether a point keeps every bound and row, each to a millionth of its own terms. */
export const isFeasiblePoint = (lp: LinearProgram, x: readonly number[]): boolean =>
  lp.variables.every(({ lower, upper }, j) => inside(sumOf([x[j] ?? Number.NaN]), lower, upper, FEASIBLE)) &&
  lp.rows.every((row) => inside(activity(row, x), row.lower, row.upper, FEASIBLE))

/** Rows divided by their largest coefficient, so that multipliers and violations are of one size. */
const normalised = (row: LinearRow): LinearRow => {
  const largest = Math.max(0, ...row.coefficients.map(Math.abs))
  if (largest === 0) return row
  const by = (value: number | null) => (value === null ? null : value / largest)
  return { ...row, lower: by(row.lower), upper: by(row.upper), coefficients: row.coefficients.map((value) => value / largest) }
}

/** The same program with every row made elastic at a price of one per unit missed: always solvable, and free where the rows can be kept. */
function elastic(lp: LinearProgram): LinearProgram {
  const variables: LinearVariable[] = lp.variables.map((variable) => ({ ...variable, cost: 0 }))
  const rows = lp.rows.map((row): LinearRow => {
    const columns = [...row.columns]
    const coefficients = [...row.coefficients]
    for (const sign of [...(row.lower === null ? [] : [1]), ...(row.upper === null ? [] : [-1])]) {
      columns.push(variables.length)
      coefficients.push(sign)
      variables.push({ name: `x${variables.length}`, cost: 1, lower: 0, upper: null })
    }
    return { ...row, columns, coefficients }
  })
  return { variables, rows }
}

/** The largest that the combination of rows can be said to exceed what the bounds allow; above zero it proves that nothing meets them. */
export function farkasExcess(lp: LinearProgram, multipliers: readonly number[]): number {
  const columns: Sum[] = lp.variables.map(() => ({ value: 0, size: 0 }))
  const worths: number[] = []
  const largest = Math.max(0, ...multipliers.map(Math.abs))
  for (const [i, row] of lp.rows.entries()) {
    const y = multipliers[i] ?? Number.NaN
    if (Math.abs(y) <= NOISE * largest) continue
    const limit = y > 0 ? row.lower : row.upper
    if (limit === null) return Number.NEGATIVE_INFINITY
    worths.push(y * limit)
    for (const [k, column] of row.columns.entries()) {
      const term = -y * (row.coefficients[k] ?? Number.NaN)
      const { value, size } = columns[column] ?? { value: Number.NaN, size: 0 }
      columns[column] = { value: value + term, size: size + Math.abs(term) }
    }
  }
  for (const [j, { value, size }] of columns.entries()) {
    if (Math.abs(value) <= NOISE * size) continue
    const variable = lp.variables[j]
    const limit = value > 0 ? variable?.lower : variable?.upper
    if (limit === null || limit === undefined) return Number.NEGATIVE_INFINITY
    worths.push(value * limit)
  }
  const { value, size } = sumOf(worths)
  return value > NOISE * size ? value : Math.min(0, value)
}

/** Whether the program has a feasible point or provably none, with the evidence; `unknown` where the solver gives neither. */
export function proveClass(lp: LinearProgram, solver: LinearSolver): ClassProof {
  if ([...lp.variables, ...lp.rows].some(({ lower, upper }) => lower !== null && upper !== null && lower > upper))
    return { kind: 'infeasible', multipliers: lp.rows.map(() => 0) }
  const scaled: LinearProgram = { variables: lp.variables, rows: lp.rows.map(normalised) }
  const outcome = solver.solve(elastic(scaled))
  if (outcome.kind !== 'optimal') return { kind: 'unknown' }
  if (farkasExcess(scaled, outcome.rowDuals) > 0) {
    const sizes = lp.rows.map((row) => Math.max(0, ...row.coefficients.map(Math.abs)) || 1)
    return { kind: 'infeasible', multipliers: outcome.rowDuals.map((dual, i) => dual / (sizes[i] ?? 1)) }
  }
  const x = outcome.x.slice(0, lp.variables.length)
  return isFeasiblePoint(lp, x) ? { kind: 'feasible', x } : { kind: 'unknown' }
}

/** No limit moves with a ray: finite sides become zero, and its length is held to one a variable. */
function rayProgram(lp: LinearProgram): LinearProgram {
  const side = (limit: number | null): number | null => (limit === null ? null : 0)
  return {
    variables: lp.variables.map((variable) => ({
      ...variable,
      lower: variable.lower === null ? -1 : 0,
      upper: variable.upper === null ? 1 : 0,
    })),
    rows: lp.rows.map((row) => ({ ...row, lower: side(row.lower), upper: side(row.upper) })),
  }
}

/** A direction in which the cost falls for ever without leaving any limit, checked; null where there is none or none was found. */
export function costlessRay(lp: LinearProgram, solver: LinearSolver): readonly number[] | null {
  const program = rayProgram({ variables: lp.variables, rows: lp.rows.map(normalised) })
  const outcome = solver.solve(program)
  if (outcome.kind !== 'optimal') return null
  const cost = sumOf(lp.variables.map((variable, j) => variable.cost * (outcome.x[j] ?? Number.NaN)))
  const falls = cost.value < -NOISE * cost.size && cost.size > 0
  const stays =
    program.variables.every(({ lower, upper }, j) => inside(sumOf([outcome.x[j] ?? Number.NaN]), lower, upper, NOISE)) &&
    program.rows.every((row) => inside(activity(row, outcome.x), row.lower, row.upper, NOISE))
  return falls && stays ? outcome.x : null
}

/** Whether the program is unbounded, by a feasible point and a ray that were both checked. */
export function provenUnbounded(lp: LinearProgram, solver: LinearSolver): boolean {
  if (costlessRay(lp, solver) === null) return false
  const start = solver.solve({ ...lp, variables: lp.variables.map((variable) => ({ ...variable, cost: 0 })) })
  return start.kind === 'optimal' && isFeasiblePoint(lp, start.x)
}
