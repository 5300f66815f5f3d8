import type { LinearSolver } from './linear-program.js'
import { entryOf, idAt, limitAt, withLimit, type LimitPlace } from './parametric-limit.js'
import { movingLimit, parameterProgram, type MovingLimits } from './parametric-program.js'
import type { FormulaProblem } from './problem.js'
import { limitsOf, programOf, type NamedLimits } from './program.js'
import type { Side } from './row-id.js'

/** Between which values of a limit a mix exists; null is no end. */
export type Ends = { readonly from: number | null; readonly to: number | null }
export type FeasibleEnds = ({ readonly kind: 'ends' } & Ends) | { readonly kind: 'infeasible' } | { readonly kind: 'failed' }

/** The least or the most that a moving limit may be, the limit itself being a variable of the program. */
function straightEnds(moving: MovingLimits, solver: LinearSolver): FeasibleEnds {
  const end = (cost: 1 | -1): number | null | 'infeasible' | 'failed' => {
    const outcome = solver.solve(parameterProgram(moving, { lower: null, upper: null, cost }))
    switch (outcome.kind) {
      case 'optimal':
        return outcome.x.at(-1) ?? 'failed'
      case 'unbounded':
        return null
      default:
        return outcome.kind
    }
  }
  const from = end(1)
  if (from === 'infeasible' || from === 'failed') return { kind: from }
  const to = end(-1)
  return to === 'infeasible' || to === 'failed' ? { kind: 'failed' } : { kind: 'ends', from, to }
}

const dot = (weights: readonly number[], x: readonly number[]): number =>
  weights.reduce((sum, weight, i) => sum + weight * (x[i] ?? Number.NaN), 0)

/**
 * The largest (`sign` 1) or smallest (-1) quotient of two sums over the mixes that the limits allow, by Dinkelbach's steps (1967, from
 * memory): the quotient found is the price of the divisor in the next program, until nothing is left to gain. Null where there is no mix,
 * or no quotient because the divisor may be zero.
 */
function bestQuotient(
  limits: NamedLimits,
  over: readonly number[],
  under: readonly number[],
  sign: 1 | -1,
  solver: LinearSolver,
): number | null | 'infeasible' {
  const solve = (costs: readonly number[]) => solver.solve(programOf({ ...limits, costs }))
  const start = solve(over.map((value) => -sign * value))
  if (start.kind === 'infeasible') return 'infeasible'
  // unbounded amounts may still have a bounded quotient: any mix will do to begin with
  const first = start.kind === 'optimal' ? start : solve(over.map(() => 0))
  if (first.kind !== 'optimal' || !(dot(under, first.x) > 0)) return null
  let quotient = dot(over, first.x) / dot(under, first.x)
  for (let step = 0; step < 40; step += 1) {
    const price = quotient
    const outcome = solve(over.map((value, i) => -sign * (value - price * (under[i] ?? Number.NaN))))
    if (outcome.kind !== 'optimal' || !(dot(under, outcome.x) > 0)) return null
    const better = dot(over, outcome.x) / dot(under, outcome.x)
    if (!(sign * (better - quotient) > 1e-13 * Math.abs(quotient))) return quotient
    quotient = better
  }
  return quotient
}

/** A row `over - limit x under` at limit 0 and at limit 1 gives both sums. */
function quotientEnds(problem: FormulaProblem, place: LimitPlace, weights: readonly number[], solver: LinearSolver): FeasibleEnds {
  const limits = limitsOf(withLimit(problem, place, undefined))
  const over = numeratorOf(problem, place, weights)
  const needs = (side: Side) => place.side === side || place.side === 'eq'
  const most = needs('min') ? bestQuotient(limits, over, weights, 1, solver) : null
  const least = needs('max') ? bestQuotient(limits, over, weights, -1, solver) : null
  return most === 'infeasible' || least === 'infeasible' ? { kind: 'infeasible' } : { kind: 'ends', from: least, to: most }
}

function numeratorOf(problem: FormulaProblem, place: LimitPlace, weights: readonly number[]): number[] {
  const value = limitAt(problem, place)
  const id = `${place.kind}:${idAt(problem, place)}:${place.side}`
  const dense = limitsOf(problem).rows.find((row) => row.id === id)?.dense ?? []
  return dense.map((coefficient, i) => coefficient + value * (weights[i] ?? Number.NaN))
}

/** Between which values of one limit, all others as they are, a mix exists: exact ends, found by optimising the limit itself. */
export function feasibleEnds(problem: FormulaProblem, rowId: string, place: LimitPlace, solver: LinearSolver): FeasibleEnds {
  const moving = movingLimit(problem, rowId, place)
  if (moving) return straightEnds(moving, solver)
  const entry = entryOf(problem, place)
  return entry.kind === 'coefficient' ? quotientEnds(problem, place, entry.weights, solver) : { kind: 'failed' }
}
