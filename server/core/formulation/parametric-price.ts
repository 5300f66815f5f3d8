import type { LinearSolver } from './linear-program.js'
import { pointsOf, type Curve, type CurveOptions, type CurvePoint, type CurveRange, type NoCurve } from './parametric-curve.js'
import { solveWith, type Tangent } from './parametric-certain.js'
import { hasCertainty } from './certainty-rows.js'
import { hasWholeAmounts } from './parametric-limit.js'
import { piecesBetween, type SampleAt } from './parametric-pieces.js'
import type { FormulaProblem } from './problem.js'
import { limitsOf, programOf } from './program.js'

const MOST_SAMPLES = 400
/** Certainty bends the curve: then the straight lines may lie this share of the cost beside it. */
const CURVED = { mostSamples: 30, sameCost: 1e-5 }

/** The problem with the first of some prices at a value, the others as far from it as they are now. */
export function withPrice(problem: FormulaProblem, ingredientIds: readonly string[], price: number): FormulaProblem {
  const moved = new Set(ingredientIds)
  const now = problem.ingredients.find((one) => one.id === ingredientIds[0])?.cost ?? Number.NaN
  return { ...problem, ingredients: problem.ingredients.map((one) => (moved.has(one.id) ? { ...one, cost: one.cost - now + price } : one)) }
}

/** Solves at one price; the slope is the amount bought at it. */
function priceSampler(problem: FormulaProblem, ingredientIds: readonly string[], solver: LinearSolver): SampleAt {
  const moved = problem.ingredients.map((one) => ingredientIds.includes(one.id))
  const amountOf = (amounts: readonly number[]) => amounts.reduce((sum, amount, i) => (moved[i] ? sum + amount : sum), 0)
  const tangents: Tangent[] = []
  const limits = limitsOf(problem)
  return (at) => {
    const costs = withPrice(problem, ingredientIds, at).ingredients.map((one) => one.cost)
    const outcome = solveWith(problem, { ...limits, costs }, solver, tangents)
    return outcome.kind === 'optimal' ? { at, cost: outcome.objective, slope: amountOf(outcome.x), amounts: outcome.x } : null
  }
}

/**
 * The least cost as a price runs over a range: that of the first ingredient named, with which the others move by as much. The slope of a
 * point's left is the amount of all of them just below that price, of its right the amount just above.
 */
export function priceCurve(
  problem: FormulaProblem,
  ingredientIds: readonly string[],
  range: CurveRange,
  solver: LinearSolver,
  options: CurveOptions = {},
): Curve | NoCurve {
  if (hasWholeAmounts(problem)) return { kind: 'none', reason: 'whole-amounts' }
  const sampleAt = priceSampler(problem, ingredientIds, solver)
  const first = sampleAt(range.from)
  const last = sampleAt(range.to)
  if (!first || !last) return noPrices(withPrice(problem, ingredientIds, first ? range.to : range.from), solver)
  const curved = hasCertainty(problem)
  const most = options.mostSamples ?? (curved ? CURVED.mostSamples : MOST_SAMPLES)
  const found = piecesBetween(first, last, sampleAt, most, curved ? CURVED.sameCost : undefined)
  return {
    kind: 'curve',
    points: pointsOf(problem, found, first),
    feasible: { from: null, to: null },
    exact: found.exact && !curved,
  }
}

function noPrices(problem: FormulaProblem, solver: LinearSolver): NoCurve {
  const { kind } = solver.solve(programOf(limitsOf(problem)))
  return kind === 'infeasible' || kind === 'unbounded' ? { kind: 'none', reason: kind } : { kind: 'none', reason: 'failed' }
}

/** Where the amount of an ingredient steps as its price rises: the form that the check cases print. */
export type PriceSteps = {
  readonly atLow: { readonly price: number; readonly amount: number; readonly objective: number }
  readonly atHigh: { readonly price: number; readonly amount: number; readonly objective: number }
  readonly breakPoints: readonly { readonly price: number; readonly amountBelow: number; readonly amountAbove: number }[]
}

/** A price curve told by amounts; null for a curve without points. */
export function priceSteps({ points }: Curve): PriceSteps | null {
  const first = points[0]
  const last = points.at(-1)
  if (!first || !last) return null
  const end = (point: CurvePoint, amount: number | null) => ({ price: point.at, amount: amount ?? Number.NaN, objective: point.cost })
  return {
    atLow: end(first, first.slopeRight),
    atHigh: end(last, last.slopeLeft),
    breakPoints: points
      .slice(1, -1)
      .map(({ at, slopeLeft, slopeRight }) => ({ price: at, amountBelow: slopeLeft ?? Number.NaN, amountAbove: slopeRight ?? Number.NaN })),
  }
}
