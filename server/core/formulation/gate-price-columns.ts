import type { LinearOutcome, LinearProgram, LinearRow, LinearSolver } from './linear-program.js'

/** A reduced cost this far below nothing, as a share of the dearest column, would make the answer cheaper. */
const CHEAPER = 1e-9
const USED = 1e-9
/** So many whole solves tell which columns matter: those with the truck for nothing and without it hold nearly all. */
const SEEDS = 2

const holdsEmpty = ({ lower, upper }: LinearRow): boolean => (lower ?? 0) <= 0 && (upper ?? 0) >= 0

type Small = { readonly lp: LinearProgram; readonly rows: readonly number[]; readonly columns: readonly number[] }

/** The program with some columns only; rows that none of them enters are left out. Null where such a row cannot hold. */
function smallOf({ variables, rows }: LinearProgram, active: ReadonlySet<number>): Small | null {
  const columns = [...active].sort((a, b) => a - b)
  const place = new Map(columns.map((column, i) => [column, i]))
  const kept: number[] = []
  const small: LinearRow[] = []
  for (const [i, row] of rows.entries()) {
    const at: number[] = []
    const values: number[] = []
    for (const [k, column] of row.columns.entries()) {
      const to = place.get(column)
      if (to === undefined) continue
      at.push(to)
      values.push(row.coefficients[k] ?? 0)
    }
    if (at.length === 0) {
      if (!holdsEmpty(row)) return null
      continue
    }
    kept.push(i)
    small.push({ name: `r${small.length}`, lower: row.lower, upper: row.upper, columns: at, coefficients: values })
  }
  const own = columns.flatMap((column, i) => {
    const variable = variables[column]
    return variable ? [{ ...variable, name: `x${i}` }] : []
  })
  return { lp: { variables: own, rows: small }, rows: kept, columns }
}

/** Columns left out, all at nothing, that would make the answer cheaper by its own row duals. */
function missing(
  { variables, rows }: LinearProgram,
  active: ReadonlySet<number>,
  kept: readonly number[],
  duals: readonly number[],
): number[] {
  const reduced = variables.map(({ cost }) => cost)
  for (const [k, i] of kept.entries()) {
    const [row, dual] = [rows[i], duals[k] ?? Number.NaN]
    if (row === undefined || dual === 0) continue
    for (const [j, column] of row.columns.entries()) reduced[column] = (reduced[column] ?? 0) - dual * (row.coefficients[j] ?? 0)
  }
  const least = -CHEAPER * Math.max(1, ...variables.map(({ cost }) => Math.abs(cost)))
  return reduced.flatMap((value, column) => (!active.has(column) && !(value >= least) ? [column] : []))
}

/**
 * A solver for programs that differ a little, such as in one price: it looks only at columns that mattered before, and takes in others as long
 * as the duals say that they would make the answer cheaper (column generation, common). Their answers are those of the whole program: a dozen
 * lots of eighty enter a feed, so that ten feeds make 150 columns of 800.
 */
export function columnSolver(solver: LinearSolver): (lp: LinearProgram) => LinearOutcome {
  const active = new Set<number>()
  let seeds = 0
  const whole = (lp: LinearProgram): LinearOutcome => {
    const outcome = solver.solve(lp)
    if (outcome.kind !== 'optimal') return outcome
    seeds += 1
    for (const [column, value] of outcome.x.entries()) if (value > USED) active.add(column)
    return outcome
  }
  return (lp) => {
    for (let left = lp.variables.length; seeds >= SEEDS && left > 0; left -= 1) {
      const small = smallOf(lp, active)
      const outcome = small && solver.solve(small.lp)
      if (!small || outcome?.kind !== 'optimal') break
      const more = missing(lp, active, small.rows, outcome.rowDuals)
      if (more.length === 0) {
        const x = lp.variables.map(() => 0)
        for (const [i, column] of small.columns.entries()) x[column] = outcome.x[i] ?? Number.NaN
        return { kind: 'optimal', objective: outcome.objective, x, rowDuals: [], reducedCosts: [] }
      }
      for (const column of more) active.add(column)
    }
    return whole(lp)
  }
}
