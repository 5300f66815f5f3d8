import type { IntegerOutcome, IntegerProgram, LinearOutcome, LinearProgram, LinearRow } from '#core/formulation/linear-program'

/** Powers of two scale without rounding. */
const powerOfTwo = (size: number): number => 2 ** -Math.round(Math.log2(size))

/**
 * Rows of feed problems run from energy (3000 kcal/kg) to trace contents (0.01 %): each row is scaled so that its largest coefficient
 * is near 1, because a solver's feasibility tolerance is absolute.
 */
export function equilibrated(lp: LinearProgram): { readonly lp: LinearProgram; readonly scales: readonly number[] } {
  const scales = lp.rows.map((row) => {
    const largest = Math.max(0, ...row.coefficients.map(Math.abs))
    return largest > 0 ? powerOfTwo(largest) : 1
  })
  const scaled = lp.rows.map((row, i): LinearRow => {
    const scale = scales[i] ?? 1
    return {
      ...row,
      lower: row.lower === null ? null : row.lower * scale,
      upper: row.upper === null ? null : row.upper * scale,
      coefficients: row.coefficients.map((coefficient) => coefficient * scale),
    }
  })
  return { lp: { variables: lp.variables, rows: scaled }, scales }
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
