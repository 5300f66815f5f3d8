import { certainCuts } from './certainty.js'
import { certainRowsOf, cutAt } from './certainty-rows.js'
import type { Formulation, OptimalFormulation } from './formulation.js'
import type { Solver } from './linear-program.js'
import { amountsIn } from './alternatives-mix.js'
import type { FormulaProblem } from './problem.js'
import type { NamedRow } from './program.js'
import { failed } from './statement-report.js'

/** Milliseconds that are left; at or below 0 there is no time. */
export type LeftMs = () => number

/** A mix of its kind. `proven`: no better one of its kind exists, or none at all; false where the time ran out before that was known. */
export type Searched = { readonly found: Formulation; readonly proven: boolean }

/** What of the time left a search may take: the rest is for checking what it finds. */
const SEARCH_SHARE = 0.8
/** A search in less time than this finds nothing (a mix of fifteen ingredients takes 5 to 50 ms, measured). */
const LEAST_SEARCH_MS = 5

/** The solver, but searches end with the time that is left, and after it nothing is solved. */
export const withinTime = (solver: Solver, leftMs: LeftMs): Solver => ({
  name: solver.name,
  solve: (lp) => (leftMs() > 0 ? solver.solve(lp) : { kind: 'failed', reason: 'time limit' }),
  solveInteger(program, limits) {
    const timeLimitMs = Math.min(limits.timeLimitMs, SEARCH_SHARE * leftMs())
    if (!(timeLimitMs >= LEAST_SEARCH_MS)) return { kind: 'failed', reason: 'time limit' }
    return solver.solveInteger(program, { ...limits, timeLimitMs })
  },
})

/** A share of the time that is left now, as time left of its own. */
export function shareOf(leftMs: LeftMs, share: number): LeftMs {
  const end = leftMs() * (1 - share)
  return () => leftMs() - end
}

/** Out of time any failure is for want of time. */
export const timely = (found: Formulation, leftMs: LeftMs): Formulation =>
  found.status === 'failed' && leftMs() <= 0 ? failed('time-limit', found.detail) : found

/** Tangents of all certain limits at a mix. */
export const tangentsAt = (problem: FormulaProblem, amounts: readonly number[]): readonly NamedRow[] =>
  certainRowsOf(problem).map((row) => cutAt(row, amounts))

export type Settled = { readonly found: OptimalFormulation; readonly value: number }
export type Approximation = {
  readonly problem: FormulaProblem
  /** The best choice when certain limits are replaced by tangents; its objective is a bound of the value. */
  readonly choose: (tangents: readonly NamedRow[]) => Formulation
  /** The best mix that keeps every limit with the choice that some amounts show; null where there is none. */
  readonly settle: (amounts: readonly number[]) => Settled | null
  readonly start: readonly NamedRow[]
  /** The best mix known before; null: none. */
  readonly best: Settled | null
  /** How large values are, for what counts as equal. */
  readonly size: number
  readonly leftMs: LeftMs
}

const MOST_ROUNDS = 60
/** How near a search must come to its bound, and then the best mix to the bound of all. */
export const SEARCH_GAP = 1e-6
const PROVEN = 2e-6

/**
 * Outer approximation (Duran and Grossmann 1986, from memory): a program with whole numbers chooses, a convex one settles the mix of that
 * choice with the certain limits as they are, and its tangents join the program, until no choice can be better than the best mix.
 * Without certain limits the first round ends it.
 */
export function approximate({ problem, choose, settle, start, best: known, size, leftMs }: Approximation): Searched {
  const tangents = [...start]
  let best = known
  const bestSoFar = (otherwise: Formulation): Searched =>
    best ? { found: best.found, proven: false } : { found: timely(otherwise, leftMs), proven: otherwise.status === 'infeasible' }
  for (let round = 0; round < MOST_ROUNDS; round += 1) {
    const choice = choose(tangents)
    if (choice.status !== 'optimal') return bestSoFar(choice)
    const amounts = amountsIn(problem, choice)
    const settled = settle(amounts)
    if (settled && (!best || settled.value < best.value)) best = settled
    const bound = choice.search?.bound ?? choice.objective
    if (best && best.value <= bound + PROVEN * size) return { found: best.found, proven: true }
    const missed = certainCuts(problem, amounts)
    if (missed.length === 0 || choice.search?.proven === false) return bestSoFar(failed('time-limit', 'no mix found that was confirmed'))
    tangents.push(...missed, ...(settled ? tangentsAt(problem, amountsIn(problem, settled.found)) : []))
  }
  return bestSoFar(failed('recheck', `not settled in ${MOST_ROUNDS} rounds`))
}
