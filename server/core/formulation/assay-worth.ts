import { afterResult, shiftsOf, type AssayTest } from './assay-belief.js'
import { screenOf } from './assay-screen.js'
import { formulateCertain } from './certainty.js'
import { equalChances } from './equal-chances.js'
import type { Formulation, OptimalFormulation } from './formulation.js'
import type { FormulaProblem } from './problem.js'
import type { AnySolver } from './solve-statement.js'

/** What one more result is worth for the kilograms concerned, in the currency of the costs. */
export type AssayWorth = {
  readonly ingredient: string
  readonly nutrient: string
  /** The first look that ranked it (see `screenOf`), for the same kilograms. */
  readonly screen: number
  /**
   * Cost now less the cost expected with the result in. Below zero where knowing more costs more: each result must then be answered with the
   * certainty asked for. Null where it was not worked out, or where too many results leave no mix.
   */
  readonly worth: number | null
  /** The chance that the result leaves no mix at all within the limits; the worth is then that of the other results. */
  readonly noMixChance: number
  readonly price: number | null
  /** Worth less price, where both are known. */
  readonly net: number | null
  readonly verdict: 'pays' | 'does-not-pay' | 'costs-more' | 'price-unknown' | 'may-leave-no-mix' | 'nothing-to-learn' | 'not-worked-out'
}

export type AssayOptions = {
  /** How many tests, best first look first, are worked out by solves. */
  readonly evaluate?: number | undefined
  /** Results tried per test. */
  readonly points?: number | undefined
  /** The kilograms of feed that the lots are for; missing: one batch of the problem. */
  readonly kg?: number | undefined
}

export type AssayRanking =
  | { readonly kind: 'ranked'; readonly costNow: number; readonly tests: readonly AssayWorth[] }
  /** There is no mix to improve on. */
  | { readonly kind: 'no-mix'; readonly found: Formulation }

/** A test that leaves no mix more often than this has no worth in money. Our own judgement, no source. */
const MOST_WITHOUT_MIX = 0.1
/** Enough for the worth to a few per cent (see the tests). */
const POINTS = 12

type Now = { readonly problem: FormulaProblem; readonly found: OptimalFormulation; readonly solver: AnySolver; readonly scale: number }
type Preview = { readonly worth: number | null; readonly noMixChance: number }

/** Preposterior analysis (Raiffa and Schlaifer 1961): the mix is solved anew for some results of the test, weighted by their chance. */
function preview({ problem, found, solver, scale }: Now, test: AssayTest, points: number): Preview {
  const near = [problem.ingredients.map(({ id }) => found.amounts[id] ?? 0)]
  let cost = 0
  let chance = 0
  for (const { node, weight } of equalChances(points)) {
    const after = formulateCertain(afterResult(problem, test, node), solver, { near })
    if (after.status === 'optimal') {
      cost += weight * after.objective
      chance += weight
    } else if (after.status !== 'infeasible') return { worth: null, noMixChance: 0 }
  }
  const noMixChance = Math.max(0, 1 - chance)
  return {
    worth: noMixChance > MOST_WITHOUT_MIX ? null : (found.objective - cost / chance) * scale,
    noMixChance: noMixChance < 1e-12 ? 0 : noMixChance,
  }
}

function verdictOf(worth: number | null, noMixChance: number, net: number | null, size: number): AssayWorth['verdict'] {
  if (worth === null) return noMixChance > 0 ? 'may-leave-no-mix' : 'not-worked-out'
  if (Math.abs(worth) <= 1e-7 * size) return 'nothing-to-learn'
  if (worth < 0) return 'costs-more'
  return net === null ? 'price-unknown' : net > 0 ? 'pays' : 'does-not-pay'
}

const worthOf = (now: Now, test: AssayTest, screen: number, { worth, noMixChance }: Preview): AssayWorth => {
  const price = test.price ?? null
  const net = worth === null || price === null ? null : worth - price
  const verdict = verdictOf(worth, noMixChance, net, Math.abs(now.found.objective) * now.scale)
  return { ingredient: test.ingredient, nutrient: test.nutrient, screen, worth, noMixChance, price, net, verdict }
}

const rankOf = ({ net, worth, price }: AssayWorth): number => net ?? (worth === null ? -Infinity : worth - (price ?? 0))

/**
 * The worth of one more assay, test by test, the next best one first: all are looked at by the prices of the limits, the best by solves over
 * the results to be expected. Tests that were not worked out follow by their first look. Tests of contents whose spread is not known, or that
 * no limit asks about, have nothing to learn.
 */
export function nextBestAssays(
  problem: FormulaProblem,
  tests: readonly AssayTest[],
  solver: AnySolver,
  options: AssayOptions = {},
): AssayRanking {
  const found = formulateCertain(problem, solver)
  if (found.status !== 'optimal') return { kind: 'no-mix', found }
  const { evaluate = 6, points = POINTS, kg } = options
  const scale = kg === undefined || !problem.batch ? 1 : kg / problem.batch.size
  const now: Now = { problem, found, solver, scale }
  const looked = tests
    .map((test) => ({ test, screen: screenOf(problem, test, found) * scale }))
    .sort(
      (a, b) => b.screen - a.screen || a.test.ingredient.localeCompare(b.test.ingredient) || a.test.nutrient.localeCompare(b.test.nutrient),
    )
  const worths = looked.map(({ test, screen }, i) => {
    const ingredient = problem.ingredients.find(({ id }) => id === test.ingredient)
    const learns = ingredient !== undefined && shiftsOf(ingredient, test).length > 0
    if (!learns) return worthOf(now, test, screen, { worth: 0, noMixChance: 0 })
    return worthOf(now, test, screen, i < evaluate ? preview(now, test, points) : { worth: null, noMixChance: 0 })
  })
  const order = new Map(worths.map((worth, i) => [worth, i]))
  const sorted = worths.toSorted((a, b) => {
    const [first, second] = [rankOf(a), rankOf(b)]
    return first === second ? (order.get(a) ?? 0) - (order.get(b) ?? 0) : second - first
  })
  return { kind: 'ranked', costNow: found.objective * scale, tests: sorted }
}
