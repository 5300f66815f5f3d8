import { explainBySolving, explainLimit, wholeOf, type ExplainedLimit, type LimitTask } from './explain-limit.js'
import { roundedOutwards, stepOf } from './explain-step.js'
import type { Formulation, OptimalFormulation } from './formulate.js'
import type { LinearSolver } from './linear-program.js'
import { leastCost, type Tangent } from './parametric-certain.js'
import { hasCertainty } from './certainty-rows.js'
import { hasWholeAmounts } from './parametric-limit.js'
import type { FormulaProblem } from './problem.js'
import { limitsOf } from './program.js'
import { priceRange, type PriceGroup } from './ranges.js'
import { coneAt } from './ranges-cone.js'
import { relaxationsOf, type Relaxation } from './relax.js'
import { describeRow, type RowMeaning } from './row-id.js'

/** An ingredient (in a mix: a lot) and the prices that would change the mix, in the currency of its price per kilogram. */
export type ExplainedIngredient = { readonly ingredientId: string; readonly price: number } & (
  | {
      readonly used: true
      /** The mix stays as it is between these prices; null is no end. Missing where certainty lets the mix drift with every price. */
      readonly stays?: { readonly from: number | null; readonly to: number | null } | undefined
    }
  /** It enters the mix below this price; null: at no price. */
  | { readonly used: false; readonly breakEven: number | null }
)

/** A relaxation with the value that people would write: rounded outwards to a sensible step. */
export type ExplainedRelaxation = Relaxation & { readonly meaning: RowMeaning; readonly toSensible: number }

export type Explanation =
  | {
      readonly kind: 'optimal'
      readonly limits: readonly ExplainedLimit[]
      readonly ingredients: readonly ExplainedIngredient[]
      /** Whether time was enough for all of them. */
      readonly complete: boolean
    }
  | {
      readonly kind: 'infeasible'
      readonly conflict: readonly { readonly rowId: string; readonly meaning: RowMeaning }[]
      /** Any one of these is enough. */
      readonly single: readonly ExplainedRelaxation[]
      /** Where none is: all of these together. Null where nothing that may change is enough, or `single` is not empty. */
      readonly joint: readonly ExplainedRelaxation[] | null
    }
  /** With whole amounts every price steps, and a step has no price; nothing else was found to explain. */
  | { readonly kind: 'none'; readonly reason: 'whole-amounts' | 'no-answer' }

export type ExplainOptions = {
  /** Asked between two programs; once it says no, what is left is left out (`complete: false`). The clock is the caller's. */
  readonly mayGoOn?: (() => boolean) | undefined
  /** Which limits of an infeasible problem may be changed; missing: all. */
  readonly mayChange?: ((rowId: string) => boolean) | undefined
  /** Which ingredients have one price, by a name for them all, such as the lots of an ingredient; one that is not named stands by itself. */
  readonly priceOf?: { readonly [id: string]: string } | undefined
}

/** The ingredients by what their price is called, the one that the mix has most of first. */
function priceGroups({ ingredients }: FormulaProblem, x: readonly number[], priceOf: ExplainOptions['priceOf'] = {}): PriceGroup[] {
  const groups = new Map<string, number[]>()
  for (const [i, { id }] of ingredients.entries()) {
    const name = Object.hasOwn(priceOf, id) ? (priceOf[id] ?? id) : id
    groups.set(name, [...(groups.get(name) ?? []), i])
  }
  return [...groups].map(([id, indices]) => ({ id, indices: indices.toSorted((a, b) => (x[b] ?? 0) - (x[a] ?? 0)) }))
}

/** No price is below zero. */
const priceOrNone = (price: number | null): number | null => (price === null || price <= 0 ? null : price)

function ingredientsOf(
  problem: FormulaProblem,
  found: OptimalFormulation,
  x: readonly number[],
  groups: readonly PriceGroup[],
  solver: LinearSolver,
  mayGoOn: () => boolean,
) {
  const cone = coneAt(limitsOf(problem), x)
  const size = Math.max(1e-9, ...x.map(Math.abs))
  return groups.flatMap((group): ExplainedIngredient[] => {
    const { id, indices } = group
    if (!mayGoOn()) return []
    const used = indices.some((i) => Math.abs(x[i] ?? 0) > 1e-9 * size)
    const base = { ingredientId: id, price: problem.ingredients[indices[0] ?? -1]?.cost ?? Number.NaN }
    if (hasCertainty(problem)) {
      const entries = indices.flatMap((i) => found.breakEvenPrices[problem.ingredients[i]?.id ?? ''] ?? [])
      return [used ? { ...base, used } : { ...base, used, breakEven: priceOrNone(entries.length > 0 ? Math.max(...entries) : null) }]
    }
    const range = priceRange(group, used, cone, solver)
    return [
      used
        ? { ...base, used, stays: { from: priceOrNone(range.from), to: range.to } }
        : { ...base, used, breakEven: priceOrNone(range.from) },
    ]
  })
}

function explainOptimal(problem: FormulaProblem, found: OptimalFormulation, solver: LinearSolver, options: ExplainOptions): Explanation {
  const mayGoOn = options.mayGoOn ?? (() => true)
  const x = problem.ingredients.map(({ id }) => found.amounts[id] ?? Number.NaN)
  const groups = priceGroups(problem, x, options.priceOf)
  const curved = hasCertainty(problem)
  const tangents: Tangent[] = []
  const task: LimitTask = {
    problem,
    x,
    cost: found.objective,
    massKg: x.reduce((sum, amount) => sum + amount, 0),
    costAt: (some) => leastCost(some, solver, tangents),
  }
  const binding = found.binding.filter((id) => id !== 'batch')
  const limits = binding.flatMap((rowId) =>
    mayGoOn() ? ((curved ? explainBySolving(task, rowId) : explainLimit(task, rowId, solver)) ?? []) : [],
  )
  const ingredients = ingredientsOf(problem, found, x, groups, solver, mayGoOn)
  return {
    kind: 'optimal',
    limits: limits.sort((a, b) => b.savesPerTonne - a.savesPerTonne),
    ingredients,
    complete: mayGoOn() && ingredients.length === groups.length,
  }
}

function explainConflict(problem: FormulaProblem, conflict: readonly string[], solver: LinearSolver, options: ExplainOptions): Explanation {
  const { single, joint } = relaxationsOf(problem, conflict, solver, options.mayChange)
  const whole = wholeOf(problem, problem.batch?.size ?? 1)
  const told = (one: Relaxation): ExplainedRelaxation => ({
    ...one,
    meaning: describeRow(one.rowId),
    toSensible: roundedOutwards(one.to, stepOf(one.rowId, one.from, whole), one.to < one.from ? -1 : 1),
  })
  return {
    kind: 'infeasible',
    conflict: conflict.map((rowId) => ({ rowId, meaning: describeRow(rowId) })),
    single: single.map(told),
    joint: joint?.map(told) ?? null,
  }
}

/**
 * Why a mix is as it is, as data: what each limit at its edge costs and how far that holds, between which prices each ingredient stays and
 * below which an unused one enters; of an infeasible one, which limits conflict and the least changes that resolve it. No words.
 */
export function explain(problem: FormulaProblem, found: Formulation, solver: LinearSolver, options: ExplainOptions = {}): Explanation {
  if (found.status === 'optimal' && hasWholeAmounts(problem)) return { kind: 'none', reason: 'whole-amounts' }
  switch (found.status) {
    case 'optimal':
      return explainOptimal(problem, found, solver, options)
    case 'infeasible':
      return explainConflict(problem, found.conflict, solver, options)
    default:
      return { kind: 'none', reason: 'no-answer' }
  }
}
