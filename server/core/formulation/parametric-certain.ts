import { interiorGuess } from './certainty-interior.js'
import { certainRowsOf, cutAt, missOf, type CertainRow } from './certainty-rows.js'
import type { LinearOutcome, LinearSolver } from './linear-program.js'
import { hasCertainty } from './certainty-rows.js'
import type { FormulaProblem } from './problem.js'
import { limitsOf, programOf, type NamedLimits, type NamedRow } from './program.js'

/** A tangent of a limit that asks for certainty. It holds at every value of that limit, so it can be kept from one solve to the next. */
export type Tangent = { readonly id: string; readonly side: 'min' | 'max'; readonly dense: readonly number[] }

/** A curve or an end needs no more: a tenth of what the re-check of a mix lets pass, in the quantities that a limit is made of. */
const MISS = 1e-7
/** More rounds than any mix takes (three to eight in `certainty.ts`); after them the answer stands as far as it was cut. */
const MOST_ROUNDS = 40

/** The latest tangents lie nearest to the next mix of a curve; older ones only make its programs longer. */
const KEPT = 16

/** Tangents as rows, with the right-hand sides that their limits have among `rows`. */
export function tangentRows(tangents: readonly Tangent[], rows: readonly NamedRow[]): NamedRow[] {
  const sides = new Map(rows.map((row) => [row.id, row] as const))
  return tangents.map(({ id, side, dense }) => {
    const own = sides.get(id)
    return { id, dense, lower: side === 'min' ? (own?.lower ?? null) : null, upper: side === 'max' ? (own?.upper ?? null) : null }
  })
}

/** The tangents, at a mix and half way to the centre of those before, of the certain limits that it misses: cuts at corners alone swing about. */
function missedBy(problem: FormulaProblem, x: readonly number[], centre: readonly number[]): Tangent[] {
  const between = x.map((value, i) => (value + (centre[i] ?? value)) / 2)
  return certainRowsOf(problem).flatMap((row) => {
    const { by, size } = missOf(row, x)
    if (by <= MISS * size) return []
    return [x, between].map((at) => ({ id: row.id, side: row.side, dense: cutAt(row, at).dense }))
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
  let centre: readonly number[] = []
  for (let round = 0; round < MOST_ROUNDS; round += 1) {
    const mix = mixOf(answer)
    const missed = mix && hasCertainty(mix.problem) ? missedBy(mix.problem, mix.x, centre) : []
    if (!mix || missed.length === 0) return answer
    centre = mix.x.map((value, i) => (value + (centre[i] ?? value)) / 2)
    tangents.push(...missed)
    answer = solve()
  }
  return answer
}

/** The tangents of all certain limits at a mix. */
export const tangentsAt = (certain: readonly CertainRow[], x: readonly number[]): Tangent[] =>
  certain.map((row) => ({ id: row.id, side: row.side, dense: cutAt(row, x).dense }))

/** How near a guess must cost to what the tangents prove, as a share of it, to be the answer. */
export const PROVEN = 1e-7

/** The cheapest mix within limits that certain ones bend, if a guess inside them is proven by the tangents there; else null. */
function provenGuess(limits: NamedLimits, certain: readonly CertainRow[], tangents: Tangent[], solve: () => LinearOutcome) {
  const guess = interiorGuess(limits, certain)
  if (!guess) return null
  tangents.push(...tangentsAt(certain, guess))
  const outcome = solve()
  if (outcome.kind !== 'optimal') return null
  const cost = limits.costs.reduce((sum, each, i) => sum + each * (guess[i] ?? Number.NaN), 0)
  return Math.abs(cost - outcome.objective) <= PROVEN * Math.abs(cost) ? { ...outcome, x: guess } : null
}

/**
 * The cheapest mix of a problem within `limits` (its own, or its own with bounds or costs changed), certainty kept. Leaves in `tangents`
 * what it found out, for the next solve of the like.
 */
export function solveWith(problem: FormulaProblem, limits: NamedLimits, solver: LinearSolver, tangents: Tangent[]): LinearOutcome {
  tangents.splice(0, Math.max(0, tangents.length - KEPT))
  const solve = () => solver.solve(programOf({ ...limits, rows: [...limits.rows, ...tangentRows(tangents, limits.rows)] }))
  const guessed = hasCertainty(problem) ? provenGuess(limits, certainRowsOf(problem), tangents, solve) : null
  return guessed ?? withTangents(tangents, solve, (found) => (found.kind === 'optimal' ? { problem, x: found.x } : null))
}

/** The cheapest cost of a problem, certainty kept; null where there is no mix. */
export function leastCost(problem: FormulaProblem, solver: LinearSolver, tangents: Tangent[]): number | null {
  const outcome = solveWith(problem, limitsOf(problem), solver, tangents)
  return outcome.kind === 'optimal' ? outcome.objective : null
}
