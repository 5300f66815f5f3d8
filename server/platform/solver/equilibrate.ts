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

/** Means of logarithms, one for each line (row or column). */
class Means {
  private readonly sums: Float64Array
  private readonly counts: Int32Array
  constructor(size: number) {
    this.sums = new Float64Array(size)
    this.counts = new Int32Array(size)
  }
  add(at: number, value: number): void {
    this.sums[at] = (this.sums[at] ?? 0) + value
    this.counts[at] = (this.counts[at] ?? 0) + 1
  }
  at(at: number): number {
    return (this.sums[at] ?? 0) / Math.max(1, this.counts[at] ?? 0)
  }
}

type Exponents = { readonly rows: Float64Array; readonly columns: Float64Array }

/** Geometric scaling: rows and columns in turn divided by the mean size of their coefficients (Fulkerson and Wolfe 1962, from memory). */
function exponentsOf(lp: LinearProgram, fixed: readonly boolean[]): Exponents {
  const rows = new Float64Array(lp.rows.length)
  const columns = new Float64Array(lp.variables.length)
  const logs = lp.rows.map((row) => row.coefficients.map((value) => (value === 0 ? null : Math.log2(Math.abs(value)))))
  const meansOf = (size: number, each: (row: number, column: number) => readonly [at: number, other: number]): Means => {
    const means = new Means(size)
    for (const [i, row] of lp.rows.entries())
      for (const [k, column] of row.columns.entries()) {
        const log = logs[i]?.[k]
        const [at, other] = each(i, column)
        if (log !== null && log !== undefined) means.add(at, log + other)
      }
    return means
  }
  for (let pass = 0; pass < PASSES; pass += 1) {
    const ofRows = meansOf(rows.length, (i, j) => [i, columns[j] ?? 0])
    for (const i of rows.keys()) rows[i] = -ofRows.at(i)
    const ofColumns = meansOf(columns.length, (i, j) => [j, rows[i] ?? 0])
    for (const j of columns.keys()) columns[j] = fixed[j] ? 0 : -ofColumns.at(j)
  }
  return { rows: rows.map(Math.round), columns: columns.map(Math.round) }
}

/** The mean size of what is neither zero nor missing, as a power of two. */
function typicalOf(values: Iterable<number | null>): number {
  const means = new Means(1)
  for (const value of values) if (value !== null && value !== 0 && Number.isFinite(value)) means.add(0, Math.log2(Math.abs(value)))
  return means.at(0)
}

/**
 * Rows of feed problems run from energy (3000 kcal/kg) to trace contents (0.01 %), amounts from grams to tonnes, and a solver's tolerances are
 * absolute: rows, columns, limits and costs are brought to sizes near one another. Whole numbers (`integer`) keep their unit.
 */
export function equilibrated(lp: LinearProgram, integer: readonly boolean[] = []): Equilibrated {
  const { rows, columns } = exponentsOf(lp, integer)
  const rowScale = (i: number): number => powerOfTwo(rows[i] ?? 0)
  const columnScale = (j: number): number => powerOfTwo(columns[j] ?? 0)
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
  const crossed = [...lp.variables, ...lp.rows].some(({ lower, upper }) => lower !== null && upper !== null && lower > upper)
  const emptyBroken = lp.rows.some((row) => row.columns.length === 0 && ((row.lower ?? 0) > 0 || (row.upper ?? 0) < 0))
  if (crossed || emptyBroken) return { kind: 'infeasible' }
  if (lp.variables.length === 0) return { kind: 'optimal', objective: 0, x: [], rowDuals: lp.rows.map(() => 0), reducedCosts: [] }
  const numbers = [...lp.variables.map((variable) => variable.cost), ...lp.rows.flatMap((row) => row.coefficients)]
  return numbers.every(Number.isFinite) ? null : { kind: 'failed', reason: 'a coefficient is not a finite number' }
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
