import { formulate } from './formulate.js'
import type { LinearSolver, SearchLimits, Solver } from './linear-program.js'
import type { FormulaProblem } from './problem.js'
import { solveWith, tangentRows, withTangents, type Tangent } from './parametric-certain.js'
import { limitsOf, programOf } from './program.js'
import { purchaseProgram, type Packed } from './repair-packs.js'

/** Something that could be bought: an ingredient of the problem, with its price and contents there and the most to be had as its `max`. */
export type Offer = {
  readonly ingredientId: string
  /** Sold in whole packs of so many kilograms; missing: by weight. */
  readonly packKg?: number | undefined
  /** No fewer packs are sold; missing: one. */
  readonly fewestPacks?: number | undefined
}

/** What to buy of one offer. `packs` is null where it is sold by weight. */
export type Purchase = { readonly ingredientId: string; readonly kg: number; readonly packs: number | null; readonly cost: number }

export type Repair =
  | {
      readonly kind: 'purchase'
      readonly purchases: readonly Purchase[]
      /** Of the purchases. */
      readonly cost: number
      /** Of the mix made with them, at the prices of the problem, and its amounts by ingredient. */
      readonly mixCost: number
      readonly amounts: { readonly [id: string]: number }
      /** Whether no cheaper purchase would do; with packs a search that ran out of time may not know. */
      readonly proven: boolean
    }
  /** `conflict`: the limits that cannot hold together with all offers bought either; null where the solver does not confirm it. */
  | { readonly kind: 'none'; readonly reason: 'not-enough'; readonly conflict: readonly string[] | null }
  | { readonly kind: 'none'; readonly reason: 'failed' }

const NOTHING_BOUGHT = 1e-9
/** Long enough for some dozens of offers in packs, short enough for someone who waits. */
const SEARCH: SearchLimits = { timeLimitMs: 2000, relativeGap: 1e-6 }

type Bought = { readonly kg: readonly number[]; readonly proven: boolean } | 'infeasible' | 'failed'

function leastPurchase(problem: FormulaProblem, prices: readonly number[], offers: ReadonlyMap<number, Offer>, solver: Solver): Bought {
  const limits = limitsOf(problem)
  const packs = [...offers].flatMap(([index, { packKg, fewestPacks }]): Packed[] =>
    packKg === undefined ? [] : [{ index, kg: packKg, fewest: fewestPacks ?? 1 }],
  )
  const count = limits.costs.length
  const tangents: Tangent[] = []
  const solve = () => {
    const base = programOf({ ...limits, rows: [...limits.rows, ...tangentRows(tangents, limits.rows)] }, { cost: false })
    const program = purchaseProgram(base, packs, prices, problem.batch)
    return packs.length === 0 ? solver.solve(program) : solver.solveInteger(program, SEARCH)
  }
  const outcome = withTangents(tangents, solve, (found) => ('x' in found ? { problem, x: found.x.slice(0, count) } : null))
  if (outcome.kind === 'infeasible') return 'infeasible'
  if (outcome.kind !== 'optimal' && outcome.kind !== 'solved') return 'failed'
  const packsOf = new Map(packs.map(({ index, kg }, i) => [index, Math.round(outcome.x[count + i] ?? 0) * kg] as const))
  return {
    // a solver's nothing may lie a hair below it, and no mix uses less than nothing
    kg: limits.costs.map((_, i) => (offers.has(i) ? Math.max(0, packsOf.get(i) ?? outcome.x[i] ?? 0) : 0)),
    proven: outcome.kind === 'optimal' || outcome.proven,
  }
}

/** The cheapest mix that uses no more of the offers than was bought. */
function mixWith(problem: FormulaProblem, bought: readonly number[], offers: ReadonlyMap<number, Offer>, solver: LinearSolver) {
  const limits = limitsOf(problem)
  for (const hair of [0, 1e-9, 1e-7]) {
    const own = limits.bounds.filter((bound) => bound.side === 'min' || !offers.has(bound.index))
    const caps = [...offers.keys()].map((index) => ({
      id: '',
      index,
      side: 'max' as const,
      value: (bought[index] ?? 0) * (1 + hair),
    }))
    const outcome = solveWith(problem, { ...limits, bounds: [...own, ...caps] }, solver, [])
    if (outcome.kind === 'optimal') return outcome
  }
  return null
}

const conflictIn = (problem: FormulaProblem, solver: Solver): readonly string[] | null => {
  const found = formulate(problem, solver)
  return found.status === 'infeasible' ? found.conflict : null
}

/**
 * The cheapest purchase that makes a problem feasible. The problem holds the offers as ingredients beside what is in store; its limits are
 * kept by the mix made with them. The money spent on offers is least first, the cost of the mix second.
 */
export function cheapestPurchase(problem: FormulaProblem, offered: readonly Offer[], solver: Solver): Repair {
  const limits = limitsOf(problem)
  const offers = new Map(
    offered.flatMap((offer) => {
      const index = problem.ingredients.findIndex((one) => one.id === offer.ingredientId)
      return index < 0 ? [] : [[index, offer] as const]
    }),
  )
  const prices = limits.costs.map((cost, i) => (offers.has(i) ? cost : 0))
  const bought = leastPurchase(problem, prices, offers, solver)
  if (bought === 'infeasible') return { kind: 'none', reason: 'not-enough', conflict: conflictIn(problem, solver) }
  const mix = bought === 'failed' ? null : mixWith(problem, bought.kg, offers, solver)
  if (bought === 'failed' || !mix) return { kind: 'none', reason: 'failed' }
  const size = Math.max(1e-9, ...mix.x.map(Math.abs))
  const purchases = [...offers].flatMap(([index, { ingredientId, packKg }]): Purchase[] => {
    const kg = bought.kg[index] ?? 0
    if (kg <= NOTHING_BOUGHT * size) return []
    return [{ ingredientId, kg, packs: packKg === undefined ? null : Math.round(kg / packKg), cost: kg * (prices[index] ?? 0) }]
  })
  return {
    kind: 'purchase',
    purchases,
    cost: purchases.reduce((sum, one) => sum + one.cost, 0),
    mixCost: mix.objective,
    amounts: Object.fromEntries(problem.ingredients.map(({ id }, i) => [id, mix.x[i] ?? Number.NaN])),
    proven: bought.proven,
  }
}
