import type { LinearSolver } from './linear-program.js'
import { numeratorOf } from './parametric-ends.js'
import { entryOf, withLimit, type LimitPlace } from './parametric-limit.js'
import type { Sample, SampleAt } from './parametric-pieces.js'
import type { FormulaProblem } from './problem.js'
import { floorOf, limitsOf, type NamedLimits } from './program.js'
import { coneAt, stepProgram } from './ranges-cone.js'

/** The amounts run straight along `v` from `x` while the limit moves; the sums are those of the numerator, the divisor and the cost. */
export type Edge = {
  readonly x: readonly number[]
  readonly v: readonly number[]
  readonly over: { readonly at: number; readonly by: number }
  readonly under: { readonly at: number; readonly by: number }
  readonly cost: { readonly at: number; readonly by: number }
}
/** A stretch of a curve between two of its break points, along one edge. */
export type Stretch = { readonly from: Sample; readonly to: Sample; readonly edge: Edge }

/** Costs closer than this share of the largest are the same, and so is a limit kept that is missed by no more: what a solver is off by. */
const SAME = 1e-8
const MOST_SAMPLES = 300

const dot = (a: readonly number[], b: readonly number[]): number => a.reduce((sum, value, i) => sum + value * (b[i] ?? Number.NaN), 0)

/** How far along an edge the quotient is `t`. An edge that goes nowhere is one point, whatever the limit. */
function stepAt({ over, under, v }: Edge, t: number): number {
  return v.every((value) => value === 0) ? 0 : (t * under.at - over.at) / (over.by - t * under.by)
}
export const mixAt = (edge: Edge, t: number): number[] => {
  const step = stepAt(edge, t)
  return edge.x.map((value, i) => value + step * (edge.v[i] ?? 0))
}
export const costOn = (edge: Edge, t: number): number => edge.cost.at + stepAt(edge, t) * edge.cost.by
export const slopeOn = ({ over, under, cost }: Edge, t: number): number =>
  cost.by === 0 ? 0 : (cost.by * (under.at * over.by - over.at * under.by)) / (over.by - t * under.by) ** 2

/** Where two edges cost the same: each cost is a fraction of linear terms in the limit, so the difference is a square. */
function meetings(a: Edge, b: Edge): number[] {
  const fraction = ({ over, under, cost }: Edge) =>
    cost.by === 0
      ? { p: cost.at, q: 0, n: 1, d: 0 }
      : { p: cost.at * over.by - cost.by * over.at, q: cost.by * under.at - cost.at * under.by, n: over.by, d: under.by }
  const [one, two] = [fraction(a), fraction(b)]
  const square = two.q * one.d - one.q * two.d
  const linear = one.q * two.n - one.p * two.d + two.p * one.d - two.q * one.n
  const constant = one.p * two.n - two.p * one.n
  const root = Math.sqrt(linear * linear - 4 * square * constant)
  // the stable form: the larger root first, the other by their product
  const larger = -(linear + Math.sign(linear || 1) * root) / 2
  return [larger / square, constant / larger].filter(Number.isFinite)
}

/** Whether amounts keep limits, to what a solver is off by. */
function keeps(limits: NamedLimits, x: readonly number[]): boolean {
  const size = Math.max(1e-9, ...x.map(Math.abs))
  const room = 10 * SAME
  const amounts = x.every((value, i) => value >= (floorOf(limits, i) ?? Number.NEGATIVE_INFINITY) - room * size)
  const bounds = limits.bounds.every(({ index, side, value }) =>
    side === 'min' ? (x[index] ?? Number.NaN) >= value - room * size : (x[index] ?? Number.NaN) <= value + room * size,
  )
  return (
    amounts &&
    bounds &&
    limits.rows.every(({ dense, lower, upper }) => {
      const terms = dense.map((coefficient, i) => coefficient * (x[i] ?? Number.NaN))
      const sum = terms.reduce((total, term) => total + term, 0)
      const scale = room * terms.reduce((total, term) => total + Math.abs(term), 1e-9)
      return (lower === null || sum >= lower - scale) && (upper === null || sum <= upper + scale)
    })
  )
}

/** The problem of a curve over a limit that is a coefficient of its row, and what is needed at each of its values. */
export type RatioTask = {
  readonly problem: FormulaProblem
  readonly rowId: string
  readonly place: LimitPlace
  readonly solver: LinearSolver
  readonly sampleAt: SampleAt
}

/** Along which edge the cheapest mix moves when the limit moves a little from where it is; null where no mix exists that way. */
function edgeFrom({ problem, rowId, place, solver }: RatioTask, { at, amounts: x }: Sample, direction: 1 | -1): Edge | null {
  const entry = entryOf(problem, place)
  if (entry.kind !== 'coefficient') return null
  const limits = limitsOf(withLimit(problem, place, at))
  const rate = dot(entry.weights, x)
  const stay = limits.costs.map(() => 0)
  const rows = limits.rows.map((row) => (row.id === rowId ? rate * direction : 0))
  const outcome = solver.solve(stepProgram(coneAt(limits, x), { rows, low: stay, high: stay }))
  if (outcome.kind !== 'optimal') return null
  const size = Math.max(1e-9, ...x.map(Math.abs))
  const still = outcome.x.every((value) => Math.abs(value) <= 1e-12 * size)
  const v = still ? stay : outcome.x
  const over = numeratorOf(problem, place, entry.weights)
  const along = (sums: readonly number[]) => ({ at: dot(sums, x), by: dot(sums, v) })
  return { x, v, over: along(over), under: along(entry.weights), cost: along(limits.costs) }
}

/** So near its ends, as a share of it, a stretch is sampled to see that it is the cheapest inside. */
const INSIDE = 1e-4

/**
 * The stretches of the curve of a limit that is a coefficient of its row, such as a ratio. Between two break points the cheapest mix runs
 * along one straight edge of what the other limits allow, and its cost is a fraction of linear terms. The values of the limit at which the
 * mixes inside an edge are the cheapest are an interval (their multipliers are one convex set, of which the limit is a quotient), so an edge
 * that is cheapest just inside both ends of a stretch is so all along; at an end itself other edges meet it. Where the edges of two samples
 * cost the same is either a break point, or a new sample splits the question in two. Null where the samples do not suffice.
 */
export function ratioStretches(task: RatioTask, first: Sample, last: Sample): Stretch[] | null {
  const { problem, place, sampleAt } = task
  const others = limitsOf(withLimit(problem, place, undefined))
  const size = Math.max(Math.abs(first.cost), Math.abs(last.cost), 1e-9)
  const passes = (edge: Edge, { at, cost }: Pick<Sample, 'at' | 'cost'>): boolean =>
    Math.abs(costOn(edge, at) - cost) <= SAME * size && keeps(others, mixAt(edge, at))
  let left = MOST_SAMPLES
  const sample = (at: number): Sample | null => ((left -= 1) < 0 ? null : sampleAt(at))
  const along = (edge: Edge | null, from: Sample, to: Sample): Stretch[] => {
    if (!edge || !passes(edge, from) || !passes(edge, to)) return []
    const inside = [from.at + INSIDE * (to.at - from.at), to.at - INSIDE * (to.at - from.at)]
    const cheapest = inside.every((at) => {
      const one = sample(at)
      return one !== null && passes(edge, one)
    })
    return cheapest ? [{ from, to, edge }] : []
  }
  const between = (a: Sample, b: Sample): Stretch[] | null => {
    if (b.at - a.at <= 1e-9 * Math.max(1, Math.abs(b.at))) return []
    const [right, back] = [edgeFrom(task, a, 1), edgeFrom(task, b, -1)]
    const whole = [...along(right, a, b), ...along(back, a, b)].slice(0, 1)
    if (whole.length > 0) return whole
    const room = INSIDE * (b.at - a.at)
    let middle: Sample | null = null
    for (const at of right && back ? meetings(right, back).filter((one) => one > a.at + 1e-5 * room && one < b.at - 1e-5 * room) : []) {
      middle = sample(at)
      if (!middle) continue
      const [one] = along(right, a, middle)
      const [other] = one ? along(back, middle, b) : []
      if (one && other) return [one, other]
    }
    middle = sample((a.at + b.at) / 2)
    const before = middle && between(a, middle)
    const after = middle && before && between(middle, b)
    return before && after ? [...before, ...after] : null
  }
  return between(first, last)?.reduce(merged(passes), []) ?? null
}

/** Neighbours on one edge are one stretch, of which the sample between was no break point. */
const merged =
  (passes: (edge: Edge, at: Pick<Sample, 'at' | 'cost'>) => boolean) =>
  (stretches: readonly Stretch[], next: Stretch): Stretch[] => {
    const before = stretches.at(-1)
    const middle = (next.from.at + next.to.at) / 2
    const same = before && passes(before.edge, { at: middle, cost: costOn(next.edge, middle) }) && passes(before.edge, next.to)
    return before && same ? [...stretches.slice(0, -1), { ...before, to: next.to }] : [...stretches, next]
  }

/** A stretch bends: points are put between its ends so that straight lines stay this close to it, as a share of the largest cost (`size`). */
const NEAR = 1e-5
const MOST_HALVINGS = 8

/** The values between the ends of a stretch at which points must stand. */
export function fillingOf({ from, to, edge }: Stretch, size: number): number[] {
  const between = (a: number, b: number, halvings: number): number[] => {
    const middle = (a + b) / 2
    const beside = Math.abs(costOn(edge, middle) - (costOn(edge, a) + costOn(edge, b)) / 2)
    if (beside <= NEAR * size || halvings === 0) return []
    return [...between(a, middle, halvings - 1), middle, ...between(middle, b, halvings - 1)]
  }
  return between(from.at, to.at, MOST_HALVINGS)
}
