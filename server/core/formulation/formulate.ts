import type { Formulation } from './formulation.js'
import type { FormulaProblem } from './problem.js'
import { limitsOf } from './program.js'
import { costOfAmounts, recheck } from './recheck.js'
import { unknownContent } from './report.js'
import { solveStatement, type AnySolver, type SolveOptions } from './solve-statement.js'
import type { Statement } from './statement.js'
import { failed } from './statement-report.js'

export type { CertainLimit, CertaintyReport, FailureReason, Formulation, OptimalFormulation } from './formulation.js'

/** One blend, ready to be solved. */
export const statementOf = (problem: FormulaProblem): Statement => ({
  ids: problem.ingredients.map((ingredient) => ingredient.id),
  limits: limitsOf(problem),
  recheck: (amounts) => recheck(problem, amounts),
  costOf: (amounts) => costOfAmounts(problem, amounts),
  bigM: problem.bigM,
})

/**
 * The least-cost blend of a problem by the given solver. Pure and synchronous. The solver's answer is believed only after it was checked by
 * other code (see `solveStatement`); otherwise the answer is `failed` with the reason.
 */
export function formulate(problem: FormulaProblem, solver: AnySolver, options: SolveOptions = {}): Formulation {
  const unknown = unknownContent(problem)
  if (unknown !== null) return failed('unknown-content', unknown)
  return solveStatement(statementOf(problem), solver, options)
}
