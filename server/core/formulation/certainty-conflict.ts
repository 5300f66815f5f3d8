import { interiorGuess } from './certainty-interior.js'
import { cutAt, missOf, type CertainRow } from './certainty-rows.js'
import { irreducible, type Held } from './conflict.js'
import type { Basis, LinearRow, LinearSolver } from './linear-program.js'
import { programOf, sparse, type NamedLimits, type NamedRow } from './program.js'

/** A limit missed by less than this share of what it is made of counts as held here: a conflict must be plain. */
const HELD = 1e-7
const MOST_ROUNDS = 120
/** How many cuts of a limit go on to the next question. */
const KEPT_OF_EACH = 16
/** After so many rounds of cuts a point that keeps all is looked for another way; most questions are answered before that. */
const INTERIOR_AT = 6

/** The cost of a mix is put aside; its size is kept small instead, so that no round runs away to where a limit is cheap to keep. */
const smallest = (limits: NamedLimits): NamedLimits => ({ ...limits, costs: limits.costs.map(() => 1) })

const keepsAll = (limits: NamedLimits, amounts: readonly number[]): boolean => {
  const rows = limits.rows.every(({ dense, lower, upper }) => {
    const terms = dense.map((coefficient, i) => coefficient * (amounts[i] ?? Number.NaN))
    const value = terms.reduce((sum, term) => sum + term, 0)
    const room = HELD * terms.reduce((sum, term) => sum + Math.abs(term), 1e-9)
    return value >= (lower ?? -Infinity) - room && value <= (upper ?? Infinity) + room
  })
  const size = HELD * Math.max(...amounts.map(Math.abs))
  return (
    rows &&
    amounts.every((amount, i) => amount >= (limits.floors?.[i] ?? 0) - size) &&
    limits.bounds.every(({ index, side, value }) => (side === 'min' ? 1 : -1) * ((amounts[index] ?? Number.NaN) - value) >= -size)
  )
}

/** The youngest cuts of each limit, which lie nearest to where the search now is: hundreds would make every question slow. */
function lastOfEach(cuts: readonly NamedRow[]): NamedRow[] {
  const seen = new Map<string, number>()
  return cuts
    .toReversed()
    .filter(({ id }) => {
      const count = (seen.get(id) ?? 0) + 1
      seen.set(id, count)
      return count <= KEPT_OF_EACH
    })
    .toReversed()
}

/** Whether limits can hold together, the certain ones among them with their certainty; new cuts go to `cuts`, because they always hold. */
function heldWith(some: NamedLimits, certain: readonly CertainRow[], cuts: NamedRow[], solver: LinearSolver): Held {
  const limits = smallest(some)
  const ids = new Set(limits.rows.map((row) => row.id))
  const kept = certain.filter((row) => ids.has(row.id))
  const missedBy = (amounts: readonly number[]) =>
    kept.filter((row) => {
      const { by, size } = missOf(row, amounts)
      return by > HELD * size
    })
  const { variables, rows: first } = programOf({ ...limits, rows: [...limits.rows, ...cuts.filter((cut) => ids.has(cut.id))] })
  const rows: LinearRow[] = [...first]
  let basis: Basis | undefined
  for (let round = 0; round < MOST_ROUNDS; round += 1) {
    const outcome = solver.solve({ variables, rows }, basis)
    if (outcome.kind === 'infeasible') return 'infeasible'
    if (outcome.kind !== 'optimal') return 'unknown'
    const missed = missedBy(outcome.x)
    if (missed.length === 0) return 'feasible'
    if (round === INTERIOR_AT) {
      const guess = interiorGuess(limits, kept)
      if (guess && missedBy(guess).length === 0 && keepsAll(limits, guess)) return 'feasible'
    }
    const more = missed.map((row) => cutAt(row, outcome.x))
    cuts.push(...more)
    rows.push(...more.map((cut, k) => sparse(cut, `r${rows.length + k}`)))
    basis = outcome.basis
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
  let cuts = lastOfEach(known)
  return irreducible({ ...limits, choices: [] }, (some) => {
    const held = heldWith(some, certain, cuts, solver)
    cuts = lastOfEach(cuts)
    return held
  })
}
