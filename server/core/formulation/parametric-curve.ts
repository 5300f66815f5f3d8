import type { Ends } from './parametric-ends.js'
import type { Piece, Pieces, Sample } from './parametric-pieces.js'
import type { FormulaProblem } from './problem.js'
import type { Side } from './row-id.js'

/** A point of a cost curve; between two points the cost runs in a straight line. */
export type CurvePoint = {
  /** The limit in its own unit, or the price. */
  readonly at: number
  readonly cost: number
  /** Change of the cost per unit of the limit or price, just below and just above; null where the curve does not go on. */
  readonly slopeLeft: number | null
  readonly slopeRight: number | null
  /** One cheapest mix there, by ingredient id. */
  readonly amounts: { readonly [id: string]: number }
}

export type Curve = {
  readonly kind: 'curve'
  /** The ends of what was asked for, as far as a mix exists, and every break point between. Empty where none exists. */
  readonly points: readonly CurvePoint[]
  /** Between which values a mix exists at all; null is no end. */
  readonly feasible: Ends
  /** Whether the break points are exact; otherwise the points are chosen so that the straight lines stay close to the curve. */
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

/** The ends and break points of some stretches; of none, the one point where the curve begins and ends. */
export function pointsOf(problem: FormulaProblem, { pieces }: Pieces, only: Sample): CurvePoint[] {
  const ids = problem.ingredients.map((ingredient) => ingredient.id)
  const first = pieces[0]
  const point = ({ at, cost, amounts }: Sample, before: Piece | undefined, after: Piece | undefined): CurvePoint => ({
    at,
    cost,
    slopeLeft: before?.slope ?? null,
    slopeRight: after?.slope ?? null,
    amounts: Object.fromEntries(ids.map((id, i) => [id, amounts[i] ?? Number.NaN])),
  })
  if (!first) return [point(only, undefined, undefined)]
  return [point(first.from, undefined, first), ...pieces.map((piece, i) => point(piece.to, piece, pieces[i + 1]))]
}
