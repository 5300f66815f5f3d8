import type { IntegerOutcome, IntegerProgram, LinearOutcome, LinearProgram, LinearRow } from '#core/formulation/linear-program'

/** A program in figures a solver is at ease with, and how to read its answer back. */
export type Equilibrated = {
  readonly lp: LinearProgram
  readonly objectiveOf: (objective: number) => number
  readonly amountsOf: (x: ArrayLike<number>) => number[]
  readonly rowDualsOf: (duals: ArrayLike<number>) => number[]
}

/** Powers of two scale without rounding. */
const powerOfTwo = (exponent: number): number => 2 ** Math.round(exponent)
const PASSES = 4
/** Where limits and costs are put on average: far above the solvers' absolute tolerances (1e-7 to 1e-9), far below where they round. */
const TYPICAL = 6

type Exponents = { readonly rows: Float64Array; readonly columns: Float64Array }
/** The coefficients that are not zero, flat: their rows, their columns and the logarithms of their sizes. */
type Entries = { readonly rows: Int32Array; readonly columns: Int32Array; readonly logs: Float64Array; readonly count: number }

function entriesOf({ rows: all }: LinearProgram): Entries {
  const room = all.reduce((sum, row) => sum + row.columns.length, 0)
  const [rows, columns, logs] = [new Int32Array(room), new Int32Array(room), new Float64Array(room)]
  let count = 0
  for (const [i, row] of all.entries())
    for (let k = 0; k < row.columns.length; k += 1) {
      const value = row.coefficients[k] ?? 0
      if (value === 0) continue
      rows[count] = i
      columns[count] = row.columns[k] ?? 0
      logs[count] = Math.log2(Math.abs(value))
      count += 1
    }
  return { rows, columns, logs, count }
}

/** Minus the mean of each line's logarithms, those of its entries with what the lines across add to them. */
function balanced({ logs, count }: Entries, at: Int32Array, across: Int32Array, added: Float64Array, size: number): Float64Array {
  const sums = new Float64Array(size)
  const counts = new Int32Array(size)
  for (let k = 0; k < count; k += 1) {
    const line = at[k] ?? 0
    sums[line] = (sums[line] ?? 0) + (logs[k] ?? 0) + (added[across[k] ?? 0] ?? 0)
    counts[line] = (counts[line] ?? 0) + 1
  }
  return sums.map((sum, line) => -sum / Math.max(1, counts[line] ?? 0))
}

/** Geometric scaling: rows and columns in turn divided by the mean size of their coefficients (Fulkerson and Wolfe 1962, from memory). */
function exponentsOf(lp: LinearProgram, fixed: readonly boolean[]): Exponents {
  const entries = entriesOf(lp)
  let rows: Float64Array = new Float64Array(lp.rows.length)
  let columns: Float64Array = new Float64Array(lp.variables.length)
  for (let pass = 0; pass < PASSES; pass += 1) {
    rows = balanced(entries, entries.rows, entries.columns, columns, rows.length)
    columns = balanced(entries, entries.columns, entries.rows, rows, columns.length).map((value, j) => (fixed[j] ? 0 : value))
  }
  return { rows: rows.map(Math.round), columns: columns.map(Math.round) }
}

/** The mean size of what is neither zero nor missing, as an exponent of two. */
function typicalOf(values: readonly (number | null)[]): number {
  let sum = 0
  let count = 0
  for (const value of values) {
    if (value === null || value === 0 || !Number.isFinite(value)) continue
    sum += Math.log2(Math.abs(value))
    count += 1
  }
  return sum / Math.max(1, count)
}

/**
 * Rows of feed problems run from energy (3000 kcal/kg) to trace contents (0.01 %), amounts from grams to tonnes, and a solver's tolerances are
 * absolute: rows, columns, limits and costs are brought to sizes near one another. Whole numbers (`integer`) keep their unit.
 */
export function equilibrated(lp: LinearProgram, integer: readonly boolean[] = []): Equilibrated {
  const { rows, columns } = exponentsOf(lp, integer)
  const [ofRows, ofColumns] = [rows.map(powerOfTwo), columns.map(powerOfTwo)]
  const rowScale = (i: number): number => ofRows[i] ?? 1
  const columnScale = (j: number): number => ofColumns[j] ?? 1
  const times = (value: number | null, by: number): number | null => (value === null ? null : value * by)
  const limits = lp.rows.flatMap(({ lower, upper }, i) => [times(lower, rowScale(i)), times(upper, rowScale(i))])
  const size = integer.includes(true) ? 1 : powerOfTwo(TYPICAL - typicalOf(limits))
  const price = powerOfTwo(TYPICAL - typicalOf(lp.variables.map(({ cost }, j) => cost * columnScale(j))))
  const scaled: LinearProgram = {
    variables: lp.variables.map(({ name, cost, lower, upper }, j) => ({
      name,
      cost: cost * columnScale(j) * price,
      lower: times(lower, size / columnScale(j)),
      upper: times(upper, size / columnScale(j)),
    })),
    rows: lp.rows.map((row, i): LinearRow => ({
      ...row,
      lower: times(row.lower, rowScale(i) * size),
      upper: times(row.upper, rowScale(i) * size),
      coefficients: row.coefficients.map((value, k) => value * rowScale(i) * columnScale(row.columns[k] ?? -1)),
    })),
  }
  return {
    lp: scaled,
    objectiveOf: (objective) => objective / price / size,
    amountsOf: (x) => lp.variables.map((_, j) => ((x[j] ?? Number.NaN) * columnScale(j)) / size),
    rowDualsOf: (duals) => lp.rows.map((_, i) => ((duals[i] ?? Number.NaN) * rowScale(i)) / price),
  }
}

/** What needs no solver: a bound pair that crosses, an empty row whose limits exclude zero, no variable at all. Null when the program must be solved. */
export function obviousOutcome(lp: LinearProgram): LinearOutcome | null {
  const crosses = ({ lower, upper }: Pick<LinearRow, 'lower' | 'upper'>): boolean => lower !== null && upper !== null && lower > upper
  const crossed = lp.variables.some(crosses) || lp.rows.some(crosses)
  const emptyBroken = lp.rows.some((row) => row.columns.length === 0 && ((row.lower ?? 0) > 0 || (row.upper ?? 0) < 0))
  if (crossed || emptyBroken) return { kind: 'infeasible' }
  if (lp.variables.length === 0) return { kind: 'optimal', objective: 0, x: [], rowDuals: lp.rows.map(() => 0), reducedCosts: [] }
  const finite =
    lp.variables.every((variable) => Number.isFinite(variable.cost)) && lp.rows.every((row) => row.coefficients.every(Number.isFinite))
  return finite ? null : { kind: 'failed', reason: 'a coefficient is not a finite number' }
}

/** The same for a program with whole numbers. */
export function obviousIntegerOutcome(program: IntegerProgram): IntegerOutcome | null {
  const outcome = obviousOutcome(program)
  return outcome?.kind === 'optimal' ? { kind: 'solved', objective: 0, x: [], bound: 0, proven: true } : outcome
}

/** A solver never throws: what goes wrong inside is an answer. */
export function withoutThrowing<T>(solve: () => T): T | { readonly kind: 'failed'; readonly reason: string } {
  try {
    return solve()
  } catch (error) {
    return { kind: 'failed', reason: error instanceof Error ? error.message : String(error) }
  }
}
