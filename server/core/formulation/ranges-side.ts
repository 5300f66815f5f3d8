import type { LinearOutcome, LinearProgram, LinearSolver } from './linear-program.js'
import { parameterProgram, type MovingLimits } from './parametric-program.js'
import type { NamedLimits } from './program.js'
import { coneAt, stepProgram, type Cone, type Shift } from './ranges-cone.js'

/** One side of a limit: what the cost does when the limit moves that way. */
export type LimitSide = {
  /** Change of the least cost per unit of the limit, in the limit's own unit: the price of the limit on this side. */
  readonly slope: number
  /** Up to which value of the limit that price holds; null: for ever. Missing where it holds for a small step only, or is not known. */
  readonly holdsTo?: number | null
}

type Optimum = Extract<LinearOutcome, { kind: 'optimal' }>
/** A dual below this share of the dearest cost is noise: as in `formulate`. */
const ZERO_DUAL = 1e-9

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
  const outcome = solver.solve(stepProgram(cone, shiftOf(moving, limits, direction)))
  if (outcome.kind !== 'optimal') return null
  return { slope: direction * outcome.objective, ...holdsTo(moving, cone, outcome, now, direction, solver) }
}

/** What the cost of a cheapest mix `x` does on either side of where a moving limit stands; null where no mix exists there. */
export function sidesOf(moving: MovingLimits, limits: NamedLimits, x: readonly number[], now: number, solver: LinearSolver) {
  const cone = coneAt(limits, x)
  return { below: sideOf(moving, cone, limits, now, -1, solver), above: sideOf(moving, cone, limits, now, 1, solver) }
}
