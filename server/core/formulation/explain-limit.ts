import type { LinearSolver } from './linear-program.js'
import { stepOf } from './explain-step.js'
import { entryOf, limitAt, placeOf, withLimit, type LimitPlace } from './parametric-limit.js'
import type { FormulaProblem } from './problem.js'
import { limitsOf } from './program.js'
import { limitRange, type LimitRange } from './ranges.js'
import type { LimitSide } from './ranges-side.js'
import { describeRow, type RowMeaning, type Side } from './row-id.js'

/** What one limit at its edge costs, told for a step that people would take. Everything in the limit's own unit, money per tonne of feed. */
export type ExplainedLimit = {
  readonly rowId: string
  readonly meaning: RowMeaning
  readonly side: Side
  readonly limit: number
  /** The limit after one sensible step of easing. */
  readonly easedTo: number
  /** What that saves, worked out for the whole step. 0: the limit costs nothing. */
  readonly savesPerTonne: number
  /** Between which values of the limit every step saves as much; null is no end. Missing where that is not known, or the saving bends. */
  readonly holds?: { readonly from: number | null; readonly to: number | null } | undefined
}

/** The cheapest cost of a problem, null where there is no mix. */
export type CostAt = (problem: FormulaProblem) => number | null

/** A slope below this share of the cost per unit is rounding. */
const NO_SLOPE = 1e-9
const SAME_PRICE = 1e-6

/** Which way the limit must move for the cost to fall; null where neither way does. */
function easingOf({ below, above, limit }: LimitRange, cost: number): 1 | -1 | null {
  const noise = (NO_SLOPE * Math.abs(cost)) / Math.max(Math.abs(limit), 1e-9)
  if (below && below.slope > noise) return -1
  return above && above.slope < -noise ? 1 : null
}

/** The range of the easing side's price: to the other side too when the price is the same there, else from the limit itself. */
function holdsOf({ below, above, limit }: LimitRange, easing: 1 | -1): ExplainedLimit['holds'] {
  const own = easing < 0 ? below : above
  const other = easing < 0 ? above : below
  if (!own || own.holdsTo === undefined) return undefined
  const same = (one: LimitSide) => Math.abs(one.slope - own.slope) <= SAME_PRICE * Math.abs(own.slope)
  const far = other && same(other) && other.holdsTo !== undefined ? other.holdsTo : limit
  return easing < 0 ? { from: own.holdsTo, to: far } : { from: far, to: own.holdsTo }
}

/** A row over amounts has one id for both sides; the side at its edge is the one nearer to the mix. */
function sideAt(problem: FormulaProblem, x: readonly number[], rowId: string): Side | undefined {
  if (!rowId.startsWith('linear:')) return undefined
  const row = limitsOf(problem).rows.find((one) => one.id === rowId)
  const value = (row?.dense ?? []).reduce((sum, coefficient, i) => sum + coefficient * (x[i] ?? Number.NaN), 0)
  if (!row || row.lower === null || row.upper === null) return undefined
  return Math.abs(value - row.lower) <= Math.abs(value - row.upper) ? 'min' : 'max'
}

const within = (to: number, holds: ExplainedLimit['holds']): boolean =>
  holds !== undefined && (holds.from === null || to >= holds.from) && (holds.to === null || to <= holds.to)

const stepped = (limit: number, easing: 1 | -1, step: number): number => {
  const to = Number((limit + easing * step).toPrecision(12))
  return limit >= 0 ? Math.max(0, to) : to
}

/** What a share is a share of: fractions of 1, amounts of the mass. */
export const wholeOf = (problem: FormulaProblem, massKg: number): number => (problem.inclusionBasis === 'fraction' ? 1 : massKg)

export type LimitTask = {
  readonly problem: FormulaProblem
  readonly x: readonly number[]
  readonly cost: number
  readonly massKg: number
  readonly costAt: CostAt
}

/** One limit at its edge, explained with its exact price on the side that saves. Null where the problem has no such limit, and for the batch. */
export function explainLimit(task: LimitTask, rowId: string, solver: LinearSolver): ExplainedLimit | null {
  const { problem, x, cost, massKg, costAt } = task
  const side = sideAt(problem, x, rowId)
  const place = placeOf(problem, rowId, side)
  if (!place || place.kind === 'batch') return null
  const range = limitRange(problem, x, rowId, solver, side)
  if (!range) return null
  const easing = easingOf(range, cost)
  const step = stepOf(rowId, range.limit, wholeOf(problem, massKg))
  const base = { rowId, meaning: describeRow(rowId), side: place.side, limit: range.limit }
  if (easing === null) return { ...base, easedTo: stepped(range.limit, place.side === 'max' ? 1 : -1, step), savesPerTonne: 0 }
  const easedTo = stepped(range.limit, easing, step)
  const holds = holdsOf(range, easing)
  const slope = (easing < 0 ? range.below : range.above)?.slope ?? Number.NaN
  const after = within(easedTo, holds) ? cost + slope * (easedTo - range.limit) : costAt(withLimit(problem, place, easedTo))
  return after === null ? null : { ...base, easedTo, savesPerTonne: ((cost - after) / massKg) * 1000, holds }
}

/** The same by solving again with the limit eased: for limits that certainty bends, where no price holds over a range. */
export function explainBySolving({ problem, cost, massKg, costAt }: LimitTask, rowId: string): ExplainedLimit | null {
  const place = placeOf(problem, rowId)
  if (!place || place.kind === 'batch') return null
  const limit = limitAt(problem, place)
  const eased = (direction: 1 | -1, at: LimitPlace) => {
    const easedTo = stepped(limit, direction, stepOf(rowId, limit, wholeOf(problem, massKg)))
    const after = costAt(withLimit(problem, at, easedTo))
    return { easedTo, savesPerTonne: after === null ? 0 : Math.max(0, ((cost - after) / massKg) * 1000) }
  }
  const ways = place.side === 'min' ? [eased(-1, place)] : place.side === 'max' ? [eased(1, place)] : [eased(-1, place), eased(1, place)]
  const best = ways.sort((a, b) => b.savesPerTonne - a.savesPerTonne)[0]
  return best ? { rowId, meaning: describeRow(rowId), side: place.side, limit, ...best } : null
}

/**
 * The same by the limit's price alone, without another solve: right for small steps. Null for the batch, and for a limit that costs nothing.
 * `price`: change of the cost per unit of the row's right-hand side, as an optimal formulation carries it.
 */
export function explainByPrice(
  { problem, x, massKg }: Pick<LimitTask, 'problem' | 'x' | 'massKg'>,
  rowId: string,
  price: number,
): ExplainedLimit | null {
  const place = placeOf(problem, rowId, sideAt(problem, x, rowId))
  if (!place || place.kind === 'batch' || price === 0) return null
  const limit = limitAt(problem, place)
  const entry = entryOf(problem, place)
  const perUnit =
    entry.kind === 'right-hand-side' ? entry.perUnit : entry.weights.reduce((sum, weight, i) => sum + weight * (x[i] ?? Number.NaN), 0)
  const slope = price * perUnit
  const easedTo = stepped(limit, slope > 0 ? -1 : 1, stepOf(rowId, limit, wholeOf(problem, massKg)))
  const savesPerTonne = (Math.abs(slope * (easedTo - limit)) / massKg) * 1000
  return { rowId, meaning: describeRow(rowId), side: place.side, limit, easedTo, savesPerTonne }
}
