import { conflictOf } from './conflict.js'
import type { LinearOutcome, LinearProgram, LinearSolver } from './linear-program.js'
import { provenBound } from './optimality.js'
import { nutrientsNeeded, supportOf, valueOf, type FormulaProblem } from './problem.js'
import { limitsOf, programOf, type NamedLimits } from './program.js'
import { costOfAmounts, recheck } from './recheck.js'

type Numbers = { readonly [id: string]: number }

/** The cheapest blend, with what each limit costs. Signs and names as in `seed/reference/README.md`. */
export type OptimalFormulation = {
  readonly status: 'optimal'
  readonly objective: number
  /** By ingredient id, every ingredient, unused ones with 0. */
  readonly amounts: Numbers
  /** Ids of the limits that are met with equality. */
  readonly binding: readonly string[]
  /** Change of the objective per unit of the row's right-hand side; only those that are not zero. */
  readonly shadowPrices: Numbers
  /** Change of the objective per unit of the ingredient forced in; only those that are not zero. */
  readonly reducedCosts: Numbers
  /** The price at which an unused ingredient would enter: its cost minus its reduced cost. */
  readonly breakEvenPrices: Numbers
  readonly solver: string
}

export type FailureReason = 'time-limit' | 'solver-error' | 'recheck' | 'unsupported' | 'unknown-content'

export type Formulation =
  | OptimalFormulation
  /** `conflict`: limits that cannot hold together, while any all but one of them can. */
  | { readonly status: 'infeasible'; readonly conflict: readonly string[] }
  | { readonly status: 'unbounded' }
  | { readonly status: 'failed'; readonly reason: FailureReason; readonly detail: string }

/** Equality of an amount or a row with its limit, relative to the sizes involved. */
const AT_LIMIT = 1e-7
/** Duals smaller than this share of the dearest ingredient's cost (per unit of the row's largest coefficient) are noise. */
const ZERO_DUAL = 1e-9
/** How far the proven bound may lie from the cost found before the answer is not believed to be the cheapest. */
const GAP = 1e-6

const failed = (reason: FailureReason, detail: string): Formulation => ({ status: 'failed', reason, detail })
const near = (a: number, b: number, size: number): boolean => Math.abs(a - b) <= AT_LIMIT * Math.max(size, Math.abs(b), 1e-9)

/** Solvers leave amounts like -1e-14: what is beyond a bound by rounding alone is put on the bound. */
function settle(lp: LinearProgram, x: readonly number[]): number[] {
  const size = Math.max(1e-9, ...x.map(Math.abs))
  return lp.variables.map(({ lower, upper }, i) => {
    const value = x[i] ?? Number.NaN
    if (lower !== null && Math.abs(value - lower) <= 1e-11 * size) return lower
    return upper !== null && Math.abs(value - upper) <= 1e-11 * size ? upper : value
  })
}

function bindingOf(limits: NamedLimits, amounts: readonly number[]): string[] {
  const rows = limits.rows.filter((row) => {
    const terms = row.dense.map((coefficient, i) => coefficient * (amounts[i] ?? Number.NaN))
    const activity = terms.reduce((sum, term) => sum + term, 0)
    const size = terms.reduce((sum, term) => sum + Math.abs(term), 0)
    return [row.lower, row.upper].some((limit) => limit !== null && near(activity, limit, size))
  })
  const bounds = limits.bounds.filter((bound) => near(amounts[bound.index] ?? Number.NaN, bound.value, 0))
  return [...rows.map((row) => row.id), ...bounds.map((bound) => bound.id)]
}

/** Why an optimum that the solver claims is not believed; null when it is. */
function doubt(
  problem: FormulaProblem,
  lp: LinearProgram,
  outcome: Extract<LinearOutcome, { kind: 'optimal' }>,
  amounts: readonly number[],
): string | null {
  const broken = recheck(problem, amounts)
  if (broken.length > 0) return `limits not kept: ${broken.map(({ id, by }) => `${id} by ${by.toPrecision(3)}`).join(', ')}`
  const cost = costOfAmounts(problem, amounts)
  const size = problem.ingredients.reduce((sum, ingredient, i) => sum + Math.abs(ingredient.cost * (amounts[i] ?? 0)), 1e-9)
  if (!(Math.abs(cost - outcome.objective) <= GAP * size)) return `cost ${cost} where the solver says ${outcome.objective}`
  const bound = provenBound(lp, outcome.rowDuals, outcome.reducedCosts)
  return cost - bound <= GAP * size ? null : `not proven cheapest: cost ${cost}, proven bound ${bound}`
}

function report(
  problem: FormulaProblem,
  limits: NamedLimits,
  outcome: Extract<LinearOutcome, { kind: 'optimal' }>,
  amounts: readonly number[],
  solver: string,
): OptimalFormulation {
  const dearest = Math.max(1e-12, ...limits.costs.map(Math.abs))
  const ids = problem.ingredients.map((ingredient) => ingredient.id)
  const dual = (i: number): number => outcome.rowDuals[i] ?? Number.NaN
  const reduced = (j: number): number => outcome.reducedCosts[j] ?? Number.NaN
  const costly = limits.rows.flatMap((row, i) => {
    const size = Math.max(0, ...row.dense.map(Math.abs))
    return Math.abs(dual(i)) * size > ZERO_DUAL * dearest ? [[row.id, dual(i)] as const] : []
  })
  const notFree = ids.flatMap((id, j) => (Math.abs(reduced(j)) > ZERO_DUAL * dearest ? [[id, reduced(j)] as const] : []))
  const unused = problem.ingredients.flatMap(({ id, cost }, j) =>
    amounts[j] === 0 && reduced(j) > 0 ? [[id, cost - reduced(j)] as const] : [],
  )
  return {
    status: 'optimal',
    objective: costOfAmounts(problem, amounts),
    amounts: Object.fromEntries(ids.map((id, j) => [id, amounts[j] ?? Number.NaN])),
    binding: bindingOf(limits, amounts),
    shadowPrices: Object.fromEntries(costly),
    reducedCosts: Object.fromEntries(notFree),
    breakEvenPrices: Object.fromEntries(unused),
    solver,
  }
}

function unknownContent(problem: FormulaProblem): string | null {
  const needed = nutrientsNeeded(problem)
  for (const { id, nutrients } of problem.ingredients) {
    const missing = needed.find((nutrient) => valueOf(nutrients, nutrient) === undefined)
    if (missing !== undefined) return `${missing} of ${id}`
  }
  return null
}

/**
 * The least-cost blend of a problem by the given solver. Pure and synchronous. The solver's optimum is believed only after every limit,
 * the cost and the proof of optimality were checked again by other code; otherwise the answer is `failed` with the reason.
 */
export function formulate(problem: FormulaProblem, solver: LinearSolver): Formulation {
  const support = supportOf(problem)
  if (support.kind === 'unsupported') return failed('unsupported', support.what)
  const unknown = unknownContent(problem)
  if (unknown !== null) return failed('unknown-content', unknown)
  const limits = limitsOf(problem)
  const lp = programOf(limits)
  const outcome = solver.solve(lp)
  switch (outcome.kind) {
    case 'optimal': {
      const amounts = settle(lp, outcome.x)
      const reason = doubt(problem, lp, outcome, amounts)
      return reason === null ? report(problem, limits, outcome, amounts, solver.name) : failed('recheck', reason)
    }
    case 'infeasible': {
      const conflict = conflictOf(limits, solver)
      return conflict ? { status: 'infeasible', conflict } : failed('recheck', 'the solver does not confirm a conflict of limits')
    }
    case 'unbounded':
      return { status: 'unbounded' }
    case 'failed':
      return failed('solver-error', outcome.reason)
    default:
      return outcome satisfies never
  }
}
