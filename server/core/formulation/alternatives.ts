import { atMean } from './certainty.js'
import { formulate } from './formulate.js'
import type { Formulation, OptimalFormulation } from './formulation.js'
import { mostDifferent } from './alternatives-different.js'
import { withAtMost } from './alternatives-fewer.js'
import {
  amountsIn,
  keepingMembers,
  kgOf,
  membersOf,
  movedKg,
  usedMembers,
  withAllLots,
  type IngredientOf,
  type Member,
} from './alternatives-mix.js'
import { shareOf, tangentsAt, timely, withinTime, type LeftMs, type Searched } from './alternatives-search.js'
import type { Solver } from './linear-program.js'
import type { FormulaProblem } from './problem.js'
import { limitsOf, programOf } from './program.js'

export { AT_MOST_ROW } from './alternatives-fewer.js'
export type { IngredientOf } from './alternatives-mix.js'
export type { LeftMs } from './alternatives-search.js'

export type AlternativesAsk = {
  /** Ingredients to show the mix without, each by itself; empty: the three largest of the cheapest mix that can be missed. */
  readonly leaveOut: readonly string[]
  /** At most so many ingredients; null: three fewer than the cheapest mix has. */
  readonly atMost: number | null
  /** How much more than the cheapest the most different mix may cost, per cent. */
  readonly withinPct: number
}

export type Alternative = {
  readonly kind: 'cheapest' | 'without' | 'at-most' | 'most-different'
  /** Of `without`. */
  readonly ingredientId: string | null
  /** Of `at-most`. */
  readonly atMost: number | null
  /** Nothing better of its kind exists (or, where it is infeasible, nothing at all); false where the time ran out before that was known. */
  readonly proven: boolean
  /** Amounts by lot, all lots of the problem. An infeasible one is an answer: it names the limits that cannot hold together. */
  readonly found: Formulation
  /** Half of the sum of absolute differences from the cheapest by ingredient, as a share of the batch, per cent; null where there is no mix. */
  readonly movedPct: number | null
}

const LEFT_OUT_BY_DEFAULT = 3
const FEWER_BY_DEFAULT = 3
/** Of the time left after the linear solves, what the search for the most different mix may take; the rest is for fewer ingredients. */
const SHARE_OF_FARTHEST = 0.5

type Task = {
  readonly problem: FormulaProblem
  readonly members: readonly Member[]
  readonly cheapest: OptimalFormulation
  readonly amounts: readonly number[]
  readonly ask: AlternativesAsk
  readonly solver: Solver
  readonly leftMs: LeftMs
}

const exactly = (found: Formulation, leftMs: LeftMs): Searched => ({ found: timely(found, leftMs), proven: found.status !== 'failed' })

const exceptFor = (members: readonly Member[], ingredientId: string) => members.filter((member) => member.ingredientId !== ingredientId)

const without = ({ problem, members, solver, leftMs }: Task, ingredientId: string): Searched =>
  exactly(withAllLots(problem, formulate(keepingMembers(problem, exceptFor(members, ingredientId)), withinTime(solver, leftMs))), leftMs)

const withoutNamed = (task: Task): Alternative[] =>
  task.ask.leaveOut.map((ingredientId) => told(task, { kind: 'without', ingredientId }, without(task, ingredientId)))

/** Whether a mix exists without an ingredient at least at the mean: one solve instead of a search for the conflict. */
function mayBeMissed({ problem, members, solver, leftMs }: Task, ingredientId: string): boolean {
  const rest = programOf(limitsOf(atMean(keepingMembers(problem, exceptFor(members, ingredientId)))), { cost: false })
  return withinTime(solver, leftMs).solve(rest).kind === 'optimal'
}

/** Without each of the largest ingredients of the cheapest mix that can be missed. */
function withoutLargest(task: Task): Alternative[] {
  const { members, amounts } = task
  const largest = [...usedMembers(members, amounts)].sort((a, b) => kgOf(b, amounts) - kgOf(a, amounts))
  const able: Alternative[] = []
  for (const { ingredientId } of largest) {
    if (able.length === LEFT_OUT_BY_DEFAULT) break
    if (!mayBeMissed(task, ingredientId)) continue
    const searched = without(task, ingredientId)
    if (searched.found.status === 'optimal') able.push(told(task, { kind: 'without', ingredientId }, searched))
  }
  return able
}

function fewer({ problem, members, amounts, cheapest, solver, leftMs }: Task, k: number): Searched {
  if (usedMembers(members, amounts).length <= k) return { found: cheapest, proven: true }
  return withAtMost({ problem, members, k, cheapest: amounts }, withinTime(solver, leftMs), tangentsAt(problem, amounts), leftMs)
}

function farthest({ problem, members, amounts, cheapest, ask, solver, leftMs }: Task): Searched {
  const mostCost = cheapest.objective + (Math.abs(cheapest.objective) * ask.withinPct) / 100
  const share = shareOf(leftMs, SHARE_OF_FARTHEST)
  return mostDifferent({ problem, members, from: amounts, mostCost }, withinTime(solver, share), tangentsAt(problem, amounts), share)
}

type Label = Pick<Alternative, 'kind'> & Partial<Pick<Alternative, 'ingredientId' | 'atMost'>>

function told({ problem, members, amounts }: Task, { kind, ingredientId = null, atMost = null }: Label, searched: Searched): Alternative {
  const { found } = searched
  const size = amounts.reduce((sum, amount) => sum + amount, 0)
  const movedPct = found.status === 'optimal' ? (100 * movedKg(members, amounts, amountsIn(problem, found))) / size : null
  return { kind, ingredientId, atMost, ...searched, movedPct }
}

/**
 * The cheapest mix of a problem made by `mixProblem` and what stands beside it: without an ingredient, of at most so many ingredients, and
 * the most different within a cost (see `mostDifferent` for the measure). Every mix keeps every limit, with its certainty, and was
 * re-checked. Where there is no cheapest mix it is the only answer, with its conflict. `leftMs` says how much time is left: searches end with
 * it, and what was not reached is `failed` for the time limit.
 */
export function alternatives(
  problem: FormulaProblem,
  ingredientOf: IngredientOf,
  ask: AlternativesAsk,
  solver: Solver,
  leftMs: LeftMs,
): readonly Alternative[] {
  const members = membersOf(problem, ingredientOf)
  const cheapest = formulate(problem, withinTime(solver, leftMs))
  if (cheapest.status !== 'optimal')
    return [{ kind: 'cheapest', ingredientId: null, atMost: null, ...exactly(cheapest, leftMs), movedPct: null }]
  const amounts = amountsIn(problem, cheapest)
  const task: Task = { problem, members, cheapest, amounts, ask, solver, leftMs }
  const k = ask.atMost ?? Math.max(1, usedMembers(members, amounts).length - FEWER_BY_DEFAULT)
  const lacking = ask.leaveOut.length > 0 ? withoutNamed(task) : withoutLargest(task)
  const different = told(task, { kind: 'most-different' }, farthest(task))
  const few = told(task, { kind: 'at-most', atMost: k }, fewer(task, k))
  return [told(task, { kind: 'cheapest' }, { found: cheapest, proven: true }), ...lacking, few, different]
}
