import { provenUnbounded } from './certificate.js'
import { conflictOf } from './conflict.js'
import type { Formulation } from './formulation.js'
import { solveWithChoices } from './integer-solve.js'
import type { IntegerSolver, LinearSolver, SearchLimits, Solver } from './linear-program.js'
import { programOf } from './program.js'
import type { Statement } from './statement.js'
import { doubt, failed, report, settle } from './statement-report.js'

/** A solver of linear programs that may also take whole numbers. */
export type AnySolver = LinearSolver & Partial<IntegerSolver>

export type SolveOptions = {
  /** For problems with whole numbers; see `DEFAULT_SEARCH`. */
  readonly search?: Partial<SearchLimits> | undefined
}

/** Tight enough to compare costs to a millionth; mixes with whole bags take milliseconds, so the time is for what goes wrong. */
export const DEFAULT_SEARCH: SearchLimits = { timeLimitMs: 10_000, relativeGap: 1e-7 }

const takesWholeNumbers = (solver: AnySolver): solver is Solver => solver.solveInteger !== undefined

function solveLinear(statement: Statement, solver: LinearSolver): Formulation {
  const { limits } = statement
  const lp = programOf(limits)
  const outcome = solver.solve(lp)
  switch (outcome.kind) {
    case 'optimal': {
      const amounts = settle(lp, outcome.x)
      const reason = doubt(statement, lp, outcome, amounts)
      return reason === null ? report(statement, outcome, amounts, solver.name) : failed('recheck', reason)
    }
    case 'infeasible': {
      const conflict = conflictOf(limits, solver)
      return conflict ? { status: 'infeasible', conflict } : failed('recheck', 'the solver does not confirm a conflict of limits')
    }
    case 'unbounded':
      return provenUnbounded(lp, solver)
        ? { status: 'unbounded' }
        : failed('recheck', 'unbounded, but neither a start nor a direction confirms it')
    case 'failed':
      return failed('solver-error', outcome.reason)
    default:
      return outcome satisfies never
  }
}

/**
 * The least-cost answer to a statement. Pure and synchronous; nothing the solver says is believed unchecked: an optimum is checked against
 * every limit, its cost and the proof of optimality; a conflict by leaving out each limit and by a combination that shows it; a fall without
 * end by its direction. Otherwise the answer is `failed` with the reason.
 */
export function solveStatement(statement: Statement, solver: AnySolver, options: SolveOptions = {}): Formulation {
  if (!statement.limits.choices?.length) return solveLinear(statement, solver)
  if (!takesWholeNumbers(solver)) return failed('unsupported', `${solver.name} takes no whole numbers`)
  return solveWithChoices(statement, solver, { ...DEFAULT_SEARCH, ...options.search })
}
