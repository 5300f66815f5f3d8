import type { FailureReason, Formulation, OptimalFormulation } from './formulation.js'
import type { LinearOutcome, LinearProgram } from './linear-program.js'
import { largestOf, provenBound } from './optimality.js'
import { activityOf, type NamedLimits } from './program.js'
import type { Statement } from './statement.js'

/** Equality of an amount or a row with its limit, relative to the sizes involved. */
const AT_LIMIT = 1e-7
/** Duals smaller than this share of the dearest cost (per unit of the row's largest coefficient) are noise. */
const ZERO_DUAL = 1e-9
/** How far the proven bound may lie from the cost found before the answer is not believed to be the cheapest. */
export const GAP = 1e-6

export type LinearOptimum = Extract<LinearOutcome, { kind: 'optimal' }>

export const failed = (reason: FailureReason, detail: string): Formulation => ({ status: 'failed', reason, detail })
export const near = (a: number, b: number, size: number): boolean => Math.abs(a - b) <= AT_LIMIT * Math.max(size, Math.abs(b), 1e-9)

/**
 * Solvers leave amounts like -1e-14: what is beyond a bound by rounding alone, or as good as on it, is put on the bound. On the inside only what
 * is far smaller than any amount could be beside the largest (a trace beside tonnes is 1e-11 of them).
 */
export function settle(lp: LinearProgram, x: readonly number[]): number[] {
  const size = Math.max(1e-9, ...x.map(Math.abs))
  const isOn = (inside: number): boolean => inside <= 1e-14 * size && inside >= -1e-9 * size
  return lp.variables.map(({ lower, upper }, i) => {
    const value = x[i] ?? Number.NaN
    if (lower !== null && isOn(value - lower)) return lower
    return upper !== null && isOn(upper - value) ? upper : value
  })
}

/** Ids of the rows and bounds that amounts meet with equality. */
export function bindingOf(limits: NamedLimits, amounts: readonly number[]): string[] {
  const rows = limits.rows.filter(({ dense, lower, upper }) => {
    const { value, size } = activityOf(dense, amounts)
    return (lower !== null && near(value, lower, size)) || (upper !== null && near(value, upper, size))
  })
  const bounds = limits.bounds.filter((bound) => near(amounts[bound.index] ?? Number.NaN, bound.value, 0))
  return [...rows.map((row) => row.id), ...bounds.map((bound) => bound.id)]
}

/** The size of the terms that a cost is summed from. */
export const costSize = ({ costs }: NamedLimits, amounts: readonly number[]): number =>
  costs.reduce((sum, cost, i) => sum + Math.abs(cost * (amounts[i] ?? 0)), 1e-9)

/** Limits that amounts break, in words; null when they keep all. */
export function brokenBy({ recheck }: Statement, amounts: readonly number[]): string | null {
  const broken = recheck(amounts)
  return broken.length === 0 ? null : `limits not kept: ${broken.map(({ id, by }) => `${id} by ${by.toPrecision(3)}`).join(', ')}`
}

/** The cost of amounts as the solver counts it: without offset, to be minimised. */
export const minimisedCost = ({ costOf, sign = 1, offset = 0 }: Statement, amounts: readonly number[]): number =>
  sign * (costOf(amounts) - offset)

/** Why a linear optimum that the solver claims is not believed; null when it is. */
export function doubt(statement: Statement, lp: LinearProgram, outcome: LinearOptimum, amounts: readonly number[]): string | null {
  const broken = brokenBy(statement, amounts)
  if (broken !== null) return broken
  const cost = minimisedCost(statement, amounts)
  const size = costSize(statement.limits, amounts)
  if (!(Math.abs(cost - outcome.objective) <= GAP * size)) return `cost ${cost} where the solver says ${outcome.objective}`
  const bound = provenBound(lp, outcome.rowDuals, outcome.reducedCosts)
  return cost - bound <= GAP * size ? null : `not proven cheapest: cost ${cost}, proven bound ${bound}`
}

export const amountsById = ({ ids }: Statement, amounts: readonly number[]): { readonly [id: string]: number } =>
  Object.fromEntries(ids.map((id, j) => [id, amounts[j] ?? Number.NaN]))

/** A believed linear optimum as an answer. */
export function report(statement: Statement, outcome: LinearOptimum, amounts: readonly number[], solver: string): OptimalFormulation {
  const { ids, limits, sign = 1 } = statement
  const dearest = Math.max(1e-12, ...limits.costs.map(Math.abs))
  const dual = (i: number): number => outcome.rowDuals[i] ?? Number.NaN
  const reduced = (j: number): number => outcome.reducedCosts[j] ?? Number.NaN
  const costly = limits.rows.flatMap((row, i) => {
    const heard = dual(i) !== 0 && Math.abs(dual(i)) * largestOf(row.dense) > ZERO_DUAL * dearest
    return heard ? [[row.id, sign * dual(i)] as const] : []
  })
  const notFree = ids.flatMap((id, j) => (Math.abs(reduced(j)) > ZERO_DUAL * dearest ? [[id, sign * reduced(j)] as const] : []))
  const unused = ids.flatMap((id, j) =>
    amounts[j] === 0 && reduced(j) > 0 ? [[id, sign * ((limits.costs[j] ?? Number.NaN) - reduced(j))] as const] : [],
  )
  return {
    status: 'optimal',
    objective: statement.costOf(amounts),
    amounts: amountsById(statement, amounts),
    binding: bindingOf(limits, amounts),
    shadowPrices: Object.fromEntries(costly),
    reducedCosts: Object.fromEntries(notFree),
    breakEvenPrices: Object.fromEntries(unused),
    solver,
  }
}
