import { certainCuts } from './certainty.js'
import type { LinearOutcome, LinearSolver } from './linear-program.js'
import { hasCertainty } from './parametric-limit.js'
import type { FormulaProblem } from './problem.js'
import { limitsOf, programOf, type NamedLimits, type NamedRow } from './program.js'

/** A tangent of a limit that asks for certainty. It holds at every value of that limit, so it can be kept from one solve to the next. */
export type Tangent = { readonly id: string; readonly side: 'min' | 'max'; readonly dense: readonly number[] }

/** More rounds than any mix takes (three to eight in `certainty.ts`); after them the answer stands as far as it was cut. */
const MOST_ROUNDS = 60

/** Tangents as rows, with the right-hand sides that their limits have among `rows`. */
export function tangentRows(tangents: readonly Tangent[], rows: readonly NamedRow[]): NamedRow[] {
  const sides = new Map(rows.map((row) => [row.id, row] as const))
  return tangents.map(({ id, side, dense }) => {
    const own = sides.get(id)
    return { id, dense, lower: side === 'min' ? (own?.lower ?? null) : null, upper: side === 'max' ? (own?.upper ?? null) : null }
  })
}

/**
 * Solves again with the tangents of the certain limits that a mix misses, until it misses none. `solve` reads `tangents`, to which they are
 * added; `mixOf` gives the mix of an answer and the problem whose limits it must keep (null: there is none, and the answer stands).
 */
export function withTangents<T>(
  tangents: Tangent[],
  solve: () => T,
  mixOf: (answer: T) => { readonly problem: FormulaProblem; readonly x: readonly number[] } | null,
): T {
  let answer = solve()
  for (let round = 0; round < MOST_ROUNDS; round += 1) {
    const mix = mixOf(answer)
    const missed = mix && hasCertainty(mix.problem) ? certainCuts(mix.problem, mix.x) : []
    if (missed.length === 0) return answer
    tangents.push(...missed.map(({ id, lower, dense }) => ({ id, dense, side: lower === null ? ('max' as const) : ('min' as const) })))
    answer = solve()
  }
  return answer
}

/**
 * The cheapest mix of a problem within `limits` (its own, or its own with bounds or costs changed), certainty kept. Adds to `tangents` what
 * it had to find out.
 */
export const solveWith = (problem: FormulaProblem, limits: NamedLimits, solver: LinearSolver, tangents: Tangent[]): LinearOutcome =>
  withTangents(
    tangents,
    () => solver.solve(programOf({ ...limits, rows: [...limits.rows, ...tangentRows(tangents, limits.rows)] })),
    (found) => (found.kind === 'optimal' ? { problem, x: found.x } : null),
  )

/** The cheapest cost of a problem, certainty kept; null where there is no mix. */
export function leastCost(problem: FormulaProblem, solver: LinearSolver, tangents: Tangent[]): number | null {
  const outcome = solveWith(problem, limitsOf(problem), solver, tangents)
  return outcome.kind === 'optimal' ? outcome.objective : null
}
