import { formulateCertain } from './certainty.js'
import { hasCertainty } from './certainty-rows.js'
import type { Formulation } from './formulation.js'
import type { FormulaProblem } from './problem.js'
import { statementOf } from './problem-statement.js'
import { unknownContent } from './report.js'
import { solveStatement, type AnySolver, type SolveOptions } from './solve-statement.js'
import { failed } from './statement-report.js'

export type { CertainLimit, CertaintyReport, FailureReason, Formulation, OptimalFormulation } from './formulation.js'

export { statementOf } from './problem-statement.js'

/**
 * The least-cost blend of a problem by the given solver. Pure and synchronous. The solver's answer is believed only after it was checked by
 * other code (see `solveStatement`); otherwise the answer is `failed` with the reason.
 */
export function formulate(problem: FormulaProblem, solver: AnySolver, options: SolveOptions = {}): Formulation {
  if (hasCertainty(problem)) return formulateCertain(problem, solver, options)
  const statement = statementOf(problem)
  // a row can be made of numbers only where every content it needs is known
  const unknown = statement.limits.rows.some(({ dense }) => dense.some(Number.isNaN)) ? unknownContent(problem) : null
  if (unknown !== null) return failed('unknown-content', unknown)
  return solveStatement(statement, solver, options)
}
