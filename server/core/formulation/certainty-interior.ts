import type { CertainRow } from './certainty-rows.js'
import { interiorForm, measure, NOTHING, NOWHERE, type Form, type Measured } from './interior-form.js'
import type { NamedLimits } from './program.js'
import { addOuter, addTo, dot, factorize, solveFactored, zeroMatrix, type Matrix } from './symmetric-system.js'

/** Two mixes of 20 lots that were looked at step by step closed in within a dozen. */
const MOST_STEPS = 40
/** Close enough to cut at: the mean of slack x price, in scaled units, and how far any limit is missed. */
const SMALL_GAP = 1e-12
const SMALL_MISS = 1e-10
/** Prices that do not close in further than this are left to the linear solver to find. */
const SMALL_DUAL_MISS = 1e-5
/** A slack limit that weighs less than this does not turn a step. */
const UNHEARD = 1e-11
/** The share of the way to the nearest wall that a step may go. */
const NEARLY = 0.995

type State = { readonly x: Float64Array; readonly y: Float64Array; readonly slack: Float64Array; readonly price: Float64Array }
type Misses = { readonly side: Float64Array; readonly equal: Float64Array; readonly dual: Float64Array }

const largest = (values: Float64Array): number => {
  let most = 0
  // NaN must not be lost
  for (const value of values) most = Math.abs(value) <= most ? most : Math.abs(value)
  return most
}
const product = (a: Float64Array, b: Float64Array): number => {
  let sum = 0
  for (let i = 0; i < a.length; i += 1) sum += (a[i] ?? 0) * (b[i] ?? 0)
  return sum
}
const move = (target: Float64Array, along: Float64Array, length: number): void => {
  for (let i = 0; i < target.length; i += 1) target[i] = (target[i] ?? 0) + length * (along[i] ?? 0)
}

/** How far along d the values v stay above zero, at most 1. */
function reach(v: Float64Array, d: Float64Array): number {
  let step = 1
  for (let i = 0; i < v.length; i += 1) if ((d[i] ?? 0) < 0) step = Math.min(step, (-NEARLY * (v[i] ?? 0)) / (d[i] ?? -1))
  return step
}

function missesOf({ cost, equal }: Form, at: readonly Measured[], { x, y, slack, price }: State): Misses {
  const dual = Float64Array.from(cost)
  for (let i = 0; i < at.length; i += 1) addTo(dual, at[i]?.slope ?? NOTHING, -(price[i] ?? 0))
  for (const [k, { slope }] of equal.entries()) addTo(dual, slope, -(y[k] ?? 0))
  return {
    side: slack.map((s, i) => (at[i]?.value ?? Number.NaN) - s),
    equal: Float64Array.from(equal, ({ slope, value }) => dot(slope, x) - value),
    dual,
  }
}

/** What the prices of bent limits and the slacks of all weigh against a step. */
function weightOf(form: Form, at: readonly Measured[], { slack, price }: State): Matrix {
  const n = form.cost.length
  const matrix = zeroMatrix(n)
  for (let i = 0; i < n; i += 1) matrix.cells[i * n + i] = 1e-13
  for (let i = 0; i < at.length; i += 1) {
    const { slope, sd, gradient } = at[i] ?? NOWHERE
    const weight = (price[i] ?? 0) / (slack[i] ?? 1)
    if (weight > UNHEARD) addOuter(matrix, slope, weight)
    const side = form.sides[i]
    if (!side?.scatter || sd <= 0) continue
    const bend = ((price[i] ?? 0) * side.z) / sd
    for (const [j, own] of side.scatter.own.entries()) matrix.cells[j * n + j] = (matrix.cells[j * n + j] ?? 0) + bend * own * own
    for (const errors of side.scatter.shared) addOuter(matrix, errors, bend)
    addOuter(matrix, gradient, -bend)
  }
  factorize(matrix)
  return matrix
}

type Direction = { readonly x: Float64Array; readonly y: Float64Array; readonly slack: Float64Array; readonly price: Float64Array }

/** The step that would bring slack x price to `complement` (as differences) and all misses to nothing, were the limits straight. */
function stepper(form: Form, at: readonly Measured[], misses: Misses, { slack, price }: State): (complement: Float64Array) => Direction {
  const matrix = weightOf(form, at, { x: slack, y: slack, slack, price })
  const dense = form.equal.map(({ slope }) => {
    const row = new Float64Array(form.cost.length)
    addTo(row, slope, 1)
    return solveFactored(matrix, row)
  })
  const schur = zeroMatrix(dense.length)
  for (const [a, { slope }] of form.equal.entries())
    for (let b = 0; b <= a; b += 1) schur.cells[a * dense.length + b] = dot(slope, dense[b] ?? slack)
  factorize(schur)
  return (complement) => {
    const right = misses.dual.map((value) => -value)
    for (let i = 0; i < at.length; i += 1)
      addTo(right, at[i]?.slope ?? NOTHING, ((complement[i] ?? 0) - (price[i] ?? 0) * (misses.side[i] ?? 0)) / (slack[i] ?? 1))
    const dx = solveFactored(matrix, right)
    const dy = solveFactored(
      schur,
      Float64Array.from(form.equal, ({ slope }, k) => -(misses.equal[k] ?? 0) - dot(slope, dx)),
    )
    for (const [k, solved] of dense.entries()) move(dx, solved, dy[k] ?? 0)
    const ds = Float64Array.from(misses.side)
    for (let i = 0; i < at.length; i += 1) ds[i] = (ds[i] ?? 0) + dot(at[i]?.slope ?? NOTHING, dx)
    const dp = ds.map((value, i) => ((complement[i] ?? 0) - (price[i] ?? 0) * value) / (slack[i] ?? 1))
    return { x: dx, y: dy, slack: ds, price: dp }
  }
}

/** One step with Mehrotra's corrector; returns how much of it could be gone. */
function advance(form: Form, at: readonly Measured[], misses: Misses, state: State): number {
  const { slack, price } = state
  const gap = product(slack, price) / slack.length
  const direction = stepper(form, at, misses, state)
  const probe = direction(slack.map((s, i) => -s * (price[i] ?? 0)))
  const [forSlack, forPrice] = [reach(slack, probe.slack), reach(price, probe.price)]
  let ahead = 0
  for (let i = 0; i < slack.length; i += 1)
    ahead += ((slack[i] ?? 0) + forSlack * (probe.slack[i] ?? 0)) * ((price[i] ?? 0) + forPrice * (probe.price[i] ?? 0))
  const aim = gap * Math.min(1, Math.max(0, ahead / slack.length / gap)) ** 3
  const step = direction(slack.map((s, i) => aim - s * (price[i] ?? 0) - (probe.slack[i] ?? 0) * (probe.price[i] ?? 0)))
  const length = Math.min(reach(slack, step.slack), reach(price, step.price))
  move(state.x, step.x, length)
  move(state.y, step.y, length)
  move(slack, step.slack, length)
  move(price, step.price, length)
  return length
}

/** Amounts in their own unit, those at a bound put on it. */
function settled({ sides, unit }: Form, { x, slack, price }: State): number[] {
  const amounts = [...x]
  for (const [i, { slope, constant, scatter }] of sides.entries()) {
    const [at, other] = slope.at
    if (scatter || at === undefined || other !== undefined) continue
    if ((slack[i] ?? 1) <= 1e-8 && (price[i] ?? 0) > (slack[i] ?? 1)) amounts[at] = -constant / (slope.values[0] ?? 1)
  }
  return amounts.map((value) => value * unit)
}

/**
 * Amounts near the least-cost mix that keeps certain limits, by a primal-dual interior-point method with a corrector (Mehrotra 1992, from
 * memory). A guess and nothing more: whoever uses it cuts there and lets the linear solver prove or disprove it. Null where the steps do not
 * close in, as when limits conflict.
 */
export function interiorGuess(limits: NamedLimits, certain: readonly CertainRow[]): number[] | null {
  const form = interiorForm(limits, certain)
  if (form.sides.length === 0) return null
  const state: State = {
    x: form.start,
    y: new Float64Array(form.equal.length),
    slack: Float64Array.from(form.sides, (side) => Math.max(measure(side, form.start).value, 0.05)),
    price: new Float64Array(form.sides.length).fill(0.1),
  }
  for (let step = 0; step < MOST_STEPS; step += 1) {
    const at = form.sides.map((side) => measure(side, state.x))
    const misses = missesOf(form, at, state)
    const missed = Math.max(largest(misses.side), largest(misses.equal))
    const gap = product(state.slack, state.price) / state.slack.length
    if (gap < SMALL_GAP && missed < SMALL_MISS && largest(misses.dual) < SMALL_DUAL_MISS) return settled(form, state)
    if (gap < SMALL_GAP * 1e-6) return missed < SMALL_MISS ? settled(form, state) : null
    const length = advance(form, at, misses, state)
    if (!(length > 1e-8)) return null
  }
  return null
}
