import type { LinearSolver } from './linear-program.js'
import { entryOf, limitAt, placeOf, type LimitPlace } from './parametric-limit.js'
import { limitsWith, movingLimit, type MovingLimits } from './parametric-program.js'
import type { FormulaProblem } from './problem.js'
import { limitsOf, type NamedLimits } from './program.js'
import { coneAt, stepProgram, type Cone } from './ranges-cone.js'
import { sidesOf, type LimitSide } from './ranges-side.js'
import type { Side } from './row-id.js'

/** What a limit costs, on each side of where it stands. */
export type LimitRange = {
  readonly rowId: string
  readonly side: Side
  /** In the limit's own unit. */
  readonly limit: number
  /** So many units of the row's right-hand side per unit of the limit; null where the limit is a coefficient of its row. */
  readonly perUnit: number | null
  /** Null where no mix exists on that side. */
  readonly below: LimitSide | null
  readonly above: LimitSide | null
}

/** Between which prices of one ingredient the mix stays as it is; null is no end. An unused one enters below `from`. */
export type PriceRange = { readonly ingredientId: string; readonly used: boolean; readonly from: number | null; readonly to: number | null }

/** A coefficient moves its row by the amounts it multiplies: right for a small step, and how far is not told. */
function coefficientRange(
  problem: FormulaProblem,
  rowId: string,
  place: LimitPlace,
  weights: readonly number[],
  x: readonly number[],
  solver: LinearSolver,
): LimitRange {
  const limits = limitsOf(problem)
  const cone = coneAt(limits, x)
  const rate = weights.reduce((sum, weight, i) => sum + weight * (x[i] ?? Number.NaN), 0)
  const stay = limits.costs.map(() => 0)
  const side = (direction: 1 | -1): LimitSide | null => {
    const rows = limits.rows.map((row) => (row.id === rowId ? rate * direction : 0))
    const outcome = solver.solve(stepProgram(cone, { rows, low: stay, high: stay }))
    return outcome.kind === 'optimal' ? { slope: direction * outcome.objective } : null
  }
  return { rowId, side: place.side, limit: limitAt(problem, place), perUnit: null, below: side(-1), above: side(1) }
}

/**
 * What one limit of a cheapest mix costs on either side, and how far: exact one-sided derivatives, also where the mix is degenerate.
 * `x`: the amounts, in the order of the ingredients. Null where the problem has no such limit.
 */
export function limitRange(
  problem: FormulaProblem,
  x: readonly number[],
  rowId: string,
  solver: LinearSolver,
  side?: Side,
): LimitRange | null {
  const place = placeOf(problem, rowId, side)
  if (!place) return null
  const entry = entryOf(problem, place)
  if (entry.kind === 'coefficient') return coefficientRange(problem, rowId, place, entry.weights, x, solver)
  const moving = movingLimit(problem, rowId, place)
  if (!moving) return null
  const now = limitAt(problem, place)
  const limits = limitsWith(moving, now)
  return { rowId, side: place.side, limit: now, perUnit: entry.perUnit, ...sidesOf(moving, limits, x, now, solver) }
}

/**
 * The same for any row or bound of a statement in rows (several products, a linear model), per unit of its right-hand side. Null where no
 * such limit stands there, or its two sides differ.
 */
export function rowRange(limits: NamedLimits, x: readonly number[], rowId: string, solver: LinearSolver): LimitRange | null {
  const row = limits.rows.find((one) => one.id === rowId)
  const bound = limits.bounds.find((one) => one.id === rowId)
  const now = row ? (row.lower ?? row.upper) : bound?.value
  if (now === undefined || now === null || (row && row.lower !== null && row.upper !== null && row.lower !== row.upper)) return null
  const side: Side = bound ? bound.side : row?.lower === null ? 'max' : row?.upper === null ? 'min' : 'eq'
  const fixed = {
    ...limits,
    rows: limits.rows.filter((one) => one.id !== rowId),
    bounds: limits.bounds.filter((one) => one.id !== rowId),
  }
  const moving: MovingLimits = {
    fixed,
    rows: row ? [{ id: rowId, side, rate: 1, dense: row.dense }] : [],
    bounds: bound ? [{ id: rowId, index: bound.index, side, rate: 1 }] : [],
  }
  return { rowId, side, limit: now, perUnit: 1, ...sidesOf(moving, limitsWith(moving, now), x, now, solver) }
}

/** Ingredients whose prices move together, such as all lots of one: the price is that of the first, the others keep their distance from it. */
export type PriceGroup = { readonly id: string; readonly indices: readonly number[] }

/**
 * Between which prices the mix keeps the amount of such ingredients together: the price at which some exchange against them begins to pay.
 * Exact, one program a side.
 */
export function priceRange({ id, indices }: PriceGroup, used: boolean, cone: Cone, solver: LinearSolver): PriceRange {
  const own = cone.costs[indices[0] ?? -1] ?? Number.NaN
  const costs = cone.costs.map((cost, i) => (indices.includes(i) ? cost - own : cost))
  const free = stepProgram({ ...cone, costs }, null)
  const exchange = (by: 1 | -1): number | null => {
    const together = {
      name: `r${free.rows.length}`,
      lower: by,
      upper: by,
      columns: indices.toSorted((a, b) => a - b),
      coefficients: indices.map(() => 1),
    }
    const outcome = solver.solve({ variables: free.variables, rows: [...free.rows, together] })
    return outcome.kind === 'optimal' ? -by * outcome.objective : null
  }
  return { ingredientId: id, used, from: exchange(1), to: used ? exchange(-1) : null }
}

/** The price ranges of the amounts of a statement in rows, by their ids; an unused one has its break-even price as `from`. */
export function pricesStaying(limits: NamedLimits, ids: readonly string[], x: readonly number[], solver: LinearSolver): PriceRange[] {
  const cone = coneAt(limits, x)
  const size = Math.max(1e-9, ...x.map(Math.abs))
  return ids.map((id, i) => priceRange({ id, indices: [i] }, Math.abs(x[i] ?? 0) > 1e-9 * size, cone, solver))
}

/** The price ranges of all ingredients of a cheapest mix. */
export const priceRanges = (problem: FormulaProblem, x: readonly number[], solver: LinearSolver): PriceRange[] =>
  pricesStaying(
    limitsOf(problem),
    problem.ingredients.map(({ id }) => id),
    x,
    solver,
  )
