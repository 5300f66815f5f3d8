import type { Ends } from './parametric-ends.js'
import type { Piece, Pieces, Sample } from './parametric-pieces.js'
import { costOn, fillingOf, mixAt, slopeOn, type Edge, type Stretch } from './parametric-ratio.js'
import type { FormulaProblem } from './problem.js'
import type { Side } from './row-id.js'

/** A point of a cost curve; between two points the cost runs in a straight line, or so nearly that nobody sees the difference. */
export type CurvePoint = {
  /** The limit in its own unit, or the price. */
  readonly at: number
  readonly cost: number
  /** Change of the cost per unit of the limit or price, just below and just above; null where the curve does not go on. */
  readonly slopeLeft: number | null
  readonly slopeRight: number | null
  /** Whether this is an exact break point: neither an end of what was asked nor a point that only shows the shape. */
  readonly turns: boolean
  /** One cheapest mix there, by ingredient id. */
  readonly amounts: { readonly [id: string]: number }
}

export type Curve = {
  readonly kind: 'curve'
  /** The ends of what was asked for, as far as a mix exists, and every break point between. Empty where none exists. */
  readonly points: readonly CurvePoint[]
  /** Between which values a mix exists at all; null is no end. */
  readonly feasible: Ends
  /** Whether the break points (`turns`) are exact and none is missed; otherwise the points are chosen so that the straight lines stay close to the curve. */
  readonly exact: boolean
}

/** Why there is no curve. `whole-amounts`: with whole bags the cost jumps, and is no curve of this kind. */
export type NoCurve = { readonly kind: 'none'; readonly reason: 'no-such-limit' | 'whole-amounts' | 'infeasible' | 'unbounded' | 'failed' }

export type CurveRange = { readonly from: number; readonly to: number }
export type CurveOptions = {
  /** Which side of a row that is limited both ways. */
  readonly side?: Side | undefined
  readonly mostSamples?: number | undefined
}

const amountsIn = ({ ingredients }: FormulaProblem, amounts: readonly number[]): CurvePoint['amounts'] =>
  Object.fromEntries(ingredients.map(({ id }, i) => [id, amounts[i] ?? Number.NaN]))

/** The ends and break points of some pieces; of none, the one point where the curve begins and ends. */
export function pointsOf(problem: FormulaProblem, { pieces, exact }: Pieces, only: Sample): CurvePoint[] {
  const first = pieces[0]
  const point = ({ at, cost, amounts }: Sample, before: Piece | undefined, after: Piece | undefined): CurvePoint => ({
    at,
    cost,
    slopeLeft: before?.slope ?? null,
    slopeRight: after?.slope ?? null,
    turns: exact && before !== undefined && after !== undefined,
    amounts: amountsIn(problem, amounts),
  })
  if (!first) return [point(only, undefined, undefined)]
  return [point(first.from, undefined, first), ...pieces.map((piece, i) => point(piece.to, piece, pieces[i + 1]))]
}

/** The ends and break points of stretches that bend, and points between that show how. */
export function pointsAlong(problem: FormulaProblem, stretches: readonly Stretch[]): CurvePoint[] {
  const point = ({ at, cost, amounts }: Omit<Sample, 'slope'>, before: Edge | undefined, after: Edge | undefined): CurvePoint => ({
    at,
    cost,
    slopeLeft: before ? slopeOn(before, at) : null,
    slopeRight: after ? slopeOn(after, at) : null,
    turns: before !== undefined && after !== undefined && before !== after,
    amounts: amountsIn(problem, amounts),
  })
  const size = Math.max(1e-9, ...stretches.flatMap(({ from, to }) => [Math.abs(from.cost), Math.abs(to.cost)]))
  return stretches.flatMap((stretch, i) => {
    const { edge, from, to } = stretch
    const between = fillingOf(stretch, size).map((at) => point({ at, cost: costOn(edge, at), amounts: mixAt(edge, at) }, edge, edge))
    const end = i === stretches.length - 1 ? [point(to, edge, undefined)] : []
    return [point(from, stretches[i - 1]?.edge, edge), ...between, ...end]
  })
}
