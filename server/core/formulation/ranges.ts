import type { LinearOutcome, LinearProgram, LinearSolver } from './linear-program.js'
import { entryOf, hasCertainty, hasWholeAmounts, limitAt, placeOf, type LimitPlace } from './parametric-limit.js'
import { limitsWith, movingLimit, parameterProgram, type MovingLimits } from './parametric-program.js'
import type { FormulaProblem } from './problem.js'
import { limitsOf, type NamedLimits } from './program.js'
import { coneAt, stepProgram, type Cone, type Shift } from './ranges-cone.js'
import type { Side } from './row-id.js'

/** One side of a limit: what the cost does when the limit moves that way. */
export type LimitSide = {
  /** Change of the least cost per unit of the limit, in the limit's own unit: the price of the limit on this side. */
  readonly slope: number
  /** Up to which value of the limit that price holds; null: for ever. Missing where it holds for a small step only, or is not known. */
  readonly holdsTo?: number | null
}

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

type Optimum = Extract<LinearOutcome, { kind: 'optimal' }>
/** A dual below this share of the dearest cost is noise: as in `formulate`. */
const ZERO_DUAL = 1e-9

/** Whether ranges can be told at all: whole amounts make the cost jump, and certainty bends the limits. */
export const canRange = (problem: FormulaProblem): boolean => !hasWholeAmounts(problem) && !hasCertainty(problem)

function shiftOf(moving: MovingLimits, limits: NamedLimits, by: number): Shift {
  const fixed = moving.fixed.rows.length
  const bound = (index: number, side: 'min' | 'max') => {
    const own = moving.bounds.find((one) => one.index === index && (one.side === side || one.side === 'eq'))
    return (own?.rate ?? 0) * by
  }
  return {
    rows: limits.rows.map((_, i) => (moving.rows[i - fixed]?.rate ?? 0) * by),
    low: limits.costs.map((_, i) => bound(i, 'min')),
    high: limits.costs.map((_, i) => bound(i, 'max')),
  }
}

/**
 * How far the price of a step holds: the program of the limit itself among the mixes that the step's duals allow to be cheapest (what they
 * price stays at its edge). Missing when the solver cannot tell.
 */
function holdsTo(
  moving: MovingLimits,
  cone: Cone,
  found: Optimum,
  now: number,
  direction: 1 | -1,
  solver: LinearSolver,
): { holdsTo?: number | null } {
  const dearest = Math.max(1e-12, ...cone.costs.map(Math.abs))
  const base = parameterProgram(moving, {
    lower: direction > 0 ? now : null,
    upper: direction > 0 ? null : now,
    cost: direction > 0 ? -1 : 1,
  })
  const priced = new Map(
    cone.rows.map(({ index, dense }, i) => {
      const dual = found.rowDuals[i] ?? Number.NaN
      return [index, Math.abs(dual) * Math.max(0, ...dense.map(Math.abs)) > ZERO_DUAL * dearest ? Math.sign(dual) : 0] as const
    }),
  )
  const bounds = new Map(moving.bounds.map((bound, i) => [bound.index, moving.fixed.rows.length + moving.rows.length + i] as const))
  const pulls = cone.costs.map((_, i) => {
    const reduced = found.reducedCosts[i] ?? Number.NaN
    return Math.abs(reduced) > ZERO_DUAL * dearest ? Math.sign(reduced) : 0
  })
  const atEdge = <T extends { lower: number | null; upper: number | null }>(one: T, sign: number | undefined): T =>
    !sign ? one : sign > 0 ? { ...one, upper: one.lower } : { ...one, lower: one.upper }
  const program: LinearProgram = {
    variables: base.variables.map((variable, i) => {
      const row = bounds.get(i)
      const side = row === undefined ? undefined : moving.bounds[row - moving.fixed.rows.length - moving.rows.length]?.side
      const byRow = side === 'eq' || (side === 'min' && (pulls[i] ?? 0) > 0) || (side === 'max' && (pulls[i] ?? 0) < 0)
      if (row !== undefined && byRow) priced.set(row, side === 'min' ? 1 : -1)
      return byRow ? variable : atEdge(variable, pulls[i])
    }),
    rows: base.rows,
  }
  const outcome = solver.solve({ ...program, rows: program.rows.map((row, i) => atEdge(row, priced.get(i))) })
  if (outcome.kind === 'unbounded') return { holdsTo: null }
  const end = outcome.kind === 'optimal' ? outcome.x.at(-1) : undefined
  return end === undefined ? {} : { holdsTo: end }
}

function sideOf(
  moving: MovingLimits,
  cone: Cone,
  limits: NamedLimits,
  now: number,
  direction: 1 | -1,
  solver: LinearSolver,
): LimitSide | null {
  const outcome = solver.solve(stepProgram(cone, shiftOf(moving, limits, direction), null))
  if (outcome.kind !== 'optimal') return null
  return { slope: direction * outcome.objective, ...holdsTo(moving, cone, outcome, now, direction, solver) }
}

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
    const outcome = solver.solve(stepProgram(cone, { rows, low: stay, high: stay }, null))
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
  const cone = coneAt(limits, x)
  return {
    rowId,
    side: place.side,
    limit: now,
    perUnit: entry.perUnit,
    below: sideOf(moving, cone, limits, now, -1, solver),
    above: sideOf(moving, cone, limits, now, 1, solver),
  }
}

/**
 * Between which prices of one ingredient the mix stays the cheapest: the price at which some exchange against it begins to pay. Exact, one
 * program a side.
 */
export function priceRange(problem: FormulaProblem, cone: Cone, index: number, used: boolean, solver: LinearSolver): PriceRange {
  const exchange = (by: 1 | -1): number | null => {
    const outcome = solver.solve(stepProgram(cone, null, { index, by }))
    return outcome.kind === 'optimal' ? -by * outcome.objective : null
  }
  return {
    ingredientId: problem.ingredients[index]?.id ?? '',
    used,
    from: exchange(1),
    to: used ? exchange(-1) : null,
  }
}

/** The price ranges of all ingredients of a cheapest mix; an unused one has its break-even price as `from`. */
export function priceRanges(problem: FormulaProblem, x: readonly number[], solver: LinearSolver): PriceRange[] {
  const cone = coneAt(limitsOf(problem), x)
  const size = Math.max(1e-9, ...x.map(Math.abs))
  return problem.ingredients.map((_, i) => priceRange(problem, cone, i, Math.abs(x[i] ?? 0) > 1e-9 * size, solver))
}
