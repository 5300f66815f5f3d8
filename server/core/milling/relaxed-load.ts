import { certainCuts } from '../formulation/certainty.js'
import type { LinearSolver } from '../formulation/linear-program.js'
import type { FormulaProblem } from '../formulation/problem.js'
import { programOf, type NamedLimits, type NamedRow } from '../formulation/program.js'

/** The load as a scale without steps would weigh it (kilograms by ingredient), and its limits with the cuts that certainty needed there. */
export type RelaxedLoad = {
  readonly feasible: boolean
  readonly amounts: readonly number[]
  readonly rows: readonly NamedRow[]
  /** No load costs less: each further cut only raises it. */
  readonly cost: number
}

/** Cutting planes near their end gain little: what they leave, the search in whole steps cuts by itself. */
const MOST_ROUNDS = 30

/**
 * Solves without steps, cutting until every certain limit holds; `shown`: a fixed share with what the scale can show of it. Not feasible without steps means not feasible with them.
 */
export function relaxedLoad(
  problem: FormulaProblem,
  limits: NamedLimits,
  solver: LinearSolver,
  shown: (row: NamedRow) => NamedRow,
): RelaxedLoad {
  let { rows } = limits
  let amounts: readonly number[] = []
  let cost = -Infinity
  for (let round = 0; round < MOST_ROUNDS; round += 1) {
    const outcome = solver.solve(programOf({ ...limits, rows: rows.map(shown) }))
    if (outcome.kind !== 'optimal') return { feasible: outcome.kind !== 'infeasible', amounts, rows, cost }
    amounts = outcome.x
    cost = outcome.objective
    const cuts = certainCuts(problem, amounts)
    if (cuts.length === 0) break
    rows = [...rows, ...cuts]
  }
  return { feasible: true, amounts, rows, cost }
}
