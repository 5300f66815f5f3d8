import { cutAt, missOf, type CertainRow } from './certainty-rows.js'
import { irreducible, type Held } from './conflict.js'
import type { LinearSolver } from './linear-program.js'
import { programOf, type NamedLimits, type NamedRow } from './program.js'

/** A limit missed by less than this share of what it is made of counts as held here: a conflict must be plain. */
const HELD = 1e-7
const MOST_ROUNDS = 60

/** Whether limits can hold together, the certain ones among them with their certainty; new cuts go to `cuts`, because they always hold. */
function heldWith(limits: NamedLimits, certain: readonly CertainRow[], cuts: NamedRow[], solver: LinearSolver): Held {
  const ids = new Set(limits.rows.map((row) => row.id))
  const kept = certain.filter((row) => ids.has(row.id))
  for (let round = 0; round < MOST_ROUNDS; round += 1) {
    const rows = [...limits.rows, ...cuts.filter((cut) => ids.has(cut.id))]
    const outcome = solver.solve(programOf({ ...limits, rows }, { cost: false }))
    if (outcome.kind === 'infeasible') return 'infeasible'
    if (outcome.kind !== 'optimal') return 'unknown'
    const missed = kept.filter((row) => {
      const { by, size } = missOf(row, outcome.x)
      return by > HELD * size
    })
    if (missed.length === 0) return 'feasible'
    cuts.push(...missed.map((row) => cutAt(row, outcome.x)))
  }
  return 'unknown'
}

/**
 * An irreducible set of limits that cannot hold together, certain limits with all their cuts counted as one each. Null where it is not
 * confirmed. `cuts` that already hold everywhere shorten the search; new ones are added to a copy.
 */
export function certainConflictOf(
  limits: NamedLimits,
  certain: readonly CertainRow[],
  known: readonly NamedRow[],
  solver: LinearSolver,
): readonly string[] | null {
  const cuts = [...known]
  return irreducible({ ...limits, choices: [] }, (some) => heldWith(some, certain, cuts, solver))
}
