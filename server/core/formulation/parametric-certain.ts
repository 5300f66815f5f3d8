import { certainCuts } from './certainty.js'
import type { FormulaProblem } from './problem.js'
import { limitsOf, type NamedRow } from './program.js'

/** More rounds than any mix takes (three to eight in `certainty.ts`); after them the answer stands as far as it was cut. */
const MOST_ROUNDS = 60

/**
 * Solves a program again with the tangents of the certain limits that its mix misses, until it misses none. `solve` takes the tangents so
 * far, each with the right-hand side of its limit in `problem`; `mixOf` gives the mix of an answer and the problem whose limits it must keep
 * (null: there is none, and the answer stands).
 */
export function withTangents<T>(
  problem: FormulaProblem,
  solve: (tangents: readonly NamedRow[]) => T,
  mixOf: (answer: T) => { readonly problem: FormulaProblem; readonly x: readonly number[] } | null,
): T {
  const sides = new Map(limitsOf(problem).rows.map((row) => [row.id, row] as const))
  const tangents: NamedRow[] = []
  let answer = solve(tangents)
  for (let round = 0; round < MOST_ROUNDS; round += 1) {
    const mix = mixOf(answer)
    const missed = mix ? certainCuts(mix.problem, mix.x) : []
    if (missed.length === 0) return answer
    for (const { id, lower, dense } of missed) {
      const own = sides.get(id)
      tangents.push({ id, dense, lower: lower === null ? null : (own?.lower ?? null), upper: lower === null ? (own?.upper ?? null) : null })
    }
    answer = solve(tangents)
  }
  return answer
}
