import { describe, expect, test } from 'vitest'
import { alternatives, AT_MOST_ROW, type Alternative, type AlternativesAsk, type LeftMs } from '#core/formulation/alternatives'
import { limitsOf, programOf } from '#core/formulation/program'
import type { Solver } from '#core/formulation/linear-program'
import { probabilityOf } from '#core/formulation/normal'
import { mixProblem, type MixRequest } from '#core/formulation/mix-problem'
import type { FormulaProblem } from '#core/formulation/problem'
import { recheck } from '#core/formulation/recheck'
import { createGlpkSolver } from '#platform/solver/glpk'
import { simplexFirst } from '#platform/solver/simplex-first'
import { createHighsSolver } from '#platform/solver/highs'
import { randomProblem, type Shape } from './certain-problems.js'
import { cornersOf } from './corners.js'
import { growerLimits, growerLots } from './grower.js'

/** For lots and limits as people set them. */
const sideBySide = (request: MixRequest, ask: AlternativesAsk, solver: Solver, leftMs: LeftMs): readonly Alternative[] =>
  alternatives(mixProblem(request).problem, Object.fromEntries(request.lots.map((lot) => [lot.id, lot.ingredientId])), ask, solver, leftMs)

const simplex = simplexFirst(await createGlpkSolver())
const highs = await createHighsSolver()
const unhurried = () => 60_000
const ASK: AlternativesAsk = { leaveOut: [], atMost: null, withinPct: 2 }
const grower: MixRequest = { batchKg: 1000, lots: growerLots, limits: growerLimits }

/** Lots of `randomProblem` by the ingredient that they share contents and price with. */
const kindsOf = (problem: FormulaProblem, { lots }: Shape): { readonly [lotId: string]: string } =>
  Object.fromEntries(problem.ingredients.map(({ id }, i) => [id, `kind${i % Math.max(2, Math.round(lots / 3))}`]))

const only = (all: readonly Alternative[], kind: Alternative['kind']): Alternative => {
  const [one, ...others] = all.filter((each) => each.kind === kind)
  if (!one || others.length > 0) throw new Error(`${others.length} more of ${kind}`)
  return one
}
function optimum({ found }: Alternative) {
  if (found.status !== 'optimal') throw new Error(JSON.stringify(found))
  return found
}
const vectorOf = (problem: FormulaProblem, one: Alternative) => problem.ingredients.map(({ id }) => optimum(one).amounts[id] ?? Number.NaN)

/** Kilograms by ingredient, counted here anew. */
function byIngredient(problem: FormulaProblem, kinds: { readonly [lotId: string]: string }, x: readonly number[]): Map<string, number> {
  const kg = new Map<string, number>()
  for (const [i, { id }] of problem.ingredients.entries()) kg.set(kinds[id] ?? id, (kg.get(kinds[id] ?? id) ?? 0) + (x[i] ?? 0))
  return kg
}
function moved(
  problem: FormulaProblem,
  kinds: { readonly [lotId: string]: string },
  from: readonly number[],
  to: readonly number[],
): number {
  const before = byIngredient(problem, kinds, from)
  const after = byIngredient(problem, kinds, to)
  const changes = [...before].map(([id, kg]) => Math.abs((after.get(id) ?? 0) - kg))
  return (100 * changes.reduce((sum, change) => sum + change, 0)) / 2 / (problem.batch?.size ?? 1)
}
const countOf = (problem: FormulaProblem, kinds: { readonly [lotId: string]: string }, x: readonly number[]) =>
  [...byIngredient(problem, kinds, x).values()].filter((kg) => kg > 1e-6).length

describe('mixes side by side', () => {
  test('the grower of the reference cases: cheapest, without its three largest, six ingredients, most different for 2 % more', () => {
    const all = sideBySide(grower, ASK, simplex, unhurried)
    expect(all.map(({ kind, ingredientId, atMost, proven }) => [kind, ingredientId, atMost, proven])).toEqual([
      ['cheapest', null, null, true],
      ['without', 'maize', null, true],
      ['without', 'soybeanMeal', null, true],
      ['without', 'soyaOil', null, true],
      ['at-most', null, 6, true],
      ['most-different', null, null, true],
    ])
    // seed/reference/cases/broiler-grower-14.json
    expect(optimum(only(all, 'cheapest')).objective).toBeCloseTo(297.231282841, 6)
    expect(only(all, 'cheapest').movedPct).toBe(0)
    const { problem } = mixProblem(grower)
    for (const one of all) {
      expect(recheck(problem, vectorOf(problem, one))).toEqual([])
      expect(Object.keys(optimum(one).amounts)).toEqual(growerLots.map(({ id }) => id))
    }
    expect(optimum(only(all, 'most-different')).objective).toBeLessThanOrEqual(297.231282841 * 1.02 + 1e-4)
    const maizeFree = all.find(({ ingredientId }) => ingredientId === 'maize')
    expect(maizeFree && optimum(maizeFree).amounts['lot-maize']).toBe(0)
  })

  test('the cheapest grower of six ingredients is the cheapest of all choices of six of its fourteen, each solved by HiGHS', () => {
    const { problem } = mixProblem(grower)
    const all = problem.ingredients
    let best = Infinity
    for (let mask = 0; mask < 1 << all.length; mask += 1) {
      if (mask.toString(2).replaceAll('0', '').length !== 6) continue
      const ingredients = all.filter((_, i) => mask & (1 << i))
      // what it cannot be made without is asked for by minima in the case: only choices with the premix are worth a solve
      if (!ingredients.some(({ id }) => id === 'lot-premix')) continue
      const outcome = highs.solve(programOf(limitsOf({ ...problem, ingredients })))
      if (outcome.kind === 'optimal') best = Math.min(best, outcome.objective)
    }
    expect(optimum(only(sideBySide(grower, ASK, simplex, unhurried), 'at-most')).objective / best).toBeCloseTo(1, 6)
  })

  test('a named ingredient that a limit asks for, and a number of ingredients too small, are told as conflicts', () => {
    const all = sideBySide(grower, { leaveOut: ['premix', 'barley'], atMost: 2, withinPct: 1 }, simplex, unhurried)
    const [premix, barley] = all.filter(({ kind }) => kind === 'without')
    expect(premix?.found).toMatchObject({ status: 'infeasible', conflict: [expect.stringContaining('ingredient/premix/')] })
    expect(premix).toMatchObject({ proven: true, movedPct: null })
    // the cheapest has no barley (reference case), so without it nothing changes
    expect(barley?.proven).toBe(true)
    expect(barley?.movedPct).toBeCloseTo(0, 9)
    const few = only(all, 'at-most')
    if (few.found.status !== 'infeasible') throw new Error(JSON.stringify(few.found))
    expect(few).toMatchObject({ proven: true, movedPct: null })
    expect(few.found.conflict).toContain(AT_MOST_ROW)
    expect(few.found.conflict.length).toBeGreaterThan(1)
  })

  test('where there is no mix at all, its conflict is the only answer', () => {
    const all = sideBySide({ ...grower, limits: { ...growerLimits, nutrients: [{ nutrient: 'CP', min: 95 }] } }, ASK, simplex, unhurried)
    expect(all.map(({ kind }) => kind)).toEqual(['cheapest'])
    expect(all[0]?.found.status).toBe('infeasible')
  })

  test('certainty asked for in the limits is kept by all of them', () => {
    const spread = (value: unknown) => ({ own: typeof value === 'number' ? 0.06 * value : 0 })
    const lots = growerLots.map((lot) => ({ ...lot, spreads: { CP: spread(lot.contents.CP), Lys: spread(lot.contents.Lys) } }))
    const sure = (nutrient: string) => nutrient === 'CP' || nutrient === 'Lys'
    const nutrients = growerLimits.nutrients.map((limit) =>
      sure(limit.nutrient) && limit.max === undefined ? { ...limit, certainty: 0.9 } : limit,
    )
    const all = sideBySide({ batchKg: 1000, lots, limits: { ...growerLimits, nutrients } }, { ...ASK, atMost: 8 }, simplex, unhurried)
    expect(all.filter(({ found }) => found.status === 'optimal').length).toBeGreaterThanOrEqual(5)
    let limitsSeen = 0
    for (const one of all)
      for (const { side, limit, mean, nutrient } of optimum(one).certainty?.limits ?? []) {
        // lots err independently here, so the deviation of the mix is the root of the sum of squares
        const sd = Math.hypot(
          ...lots.map((lot) => ((optimum(one).amounts[lot.id] ?? 0) / 1000) * (lot.spreads[nutrient === 'CP' ? 'CP' : 'Lys'].own ?? 0)),
        )
        expect(probabilityOf((side === 'min' ? mean - limit : limit - mean) / sd)).toBeGreaterThan(0.9 - 1e-5)
        limitsSeen += 1
      }
    expect(limitsSeen).toBeGreaterThanOrEqual(all.length)
  })
})

describe('against every corner', () => {
  const shape: Shape = { lots: 6, nutrients: 3, certain: 0, z: 0 }
  test.each(Array.from({ length: 25 }, (_, i) => i + 1))('tiny problem %i: each answer is the best corner of its kind', (seed) => {
    // three ingredients would be too few to choose among: here lots 0 and 3 are one, all others are their own
    const problem = randomProblem(seed, shape)
    const kinds: { readonly [lotId: string]: string } = { lot0: 'a', lot3: 'a', lot1: 'b', lot2: 'c', lot4: 'd', lot5: 'e' }
    const corners = cornersOf(problem)
    const costOf = (x: readonly number[]) => problem.ingredients.reduce((sum, { cost }, i) => sum + cost * (x[i] ?? 0), 0)
    const least = (some: readonly (readonly number[])[]) => Math.min(...some.map(costOf))
    for (const atMost of [1, 2, 3]) {
      const all = alternatives(problem, kinds, { leaveOut: ['a', 'b'], atMost, withinPct: 3 }, simplex, unhurried)
      const cheapest = only(all, 'cheapest')
      expect(optimum(cheapest).objective / least(corners)).toBeCloseTo(1, 6)
      for (const one of all.filter(({ kind }) => kind === 'without' || kind === 'at-most')) {
        const able = corners.filter((x) =>
          one.kind === 'without'
            ? (byIngredient(problem, kinds, x).get(one.ingredientId ?? '') ?? 0) < 1e-6
            : countOf(problem, kinds, x) <= atMost,
        )
        expect(one.proven).toBe(true)
        expect(one.found.status).toBe(able.length > 0 ? 'optimal' : 'infeasible')
        if (able.length > 0) expect(optimum(one).objective / least(able)).toBeCloseTo(1, 6)
      }
      const different = only(all, 'most-different')
      const from = vectorOf(problem, cheapest)
      const dear = cornersOf(problem, optimum(cheapest).objective * 1.03)
      expect(different.proven).toBe(true)
      expect(different.movedPct).toBeCloseTo(Math.max(...dear.map((x) => moved(problem, kinds, from, x))), 3)
      expect(different.movedPct).toBeCloseTo(moved(problem, kinds, from, vectorOf(problem, different)), 9)
    }
  })
})

describe('GLPK and HiGHS', () => {
  test('agree on 60 random problems, a third of them with certain limits; every mix keeps every limit', { timeout: 600_000 }, () => {
    const seen = { optimal: 0, infeasible: 0 }
    for (let seed = 1; seed <= 60; seed += 1) {
      const shape: Shape = { lots: 15, nutrients: 4, certain: 2, z: seed % 3 === 0 ? 1.2816 : 0 }
      const problem = randomProblem(1000 + seed, shape)
      const kinds = kindsOf(problem, shape)
      const ask = { leaveOut: ['kind0', 'kind2'], atMost: 2 + (seed % 2), withinPct: 2 }
      const [ours, theirs] = [simplex, highs].map((solver) => alternatives(problem, kinds, ask, solver, unhurried))
      expect(theirs?.map(({ kind, found }) => [kind, found.status])).toEqual(ours?.map(({ kind, found }) => [kind, found.status]))
      for (const [i, one] of (ours ?? []).entries()) {
        const other = theirs?.[i]
        expect([one.proven, other?.proven]).toEqual([true, true])
        if (one.found.status !== 'optimal' || !other) {
          seen.infeasible += 1
          continue
        }
        seen.optimal += 1
        for (const each of [one, other]) expect(recheck(problem, vectorOf(problem, each))).toEqual([])
        if (one.kind === 'most-different') expect(other.movedPct).toBeCloseTo(one.movedPct ?? Number.NaN, 2)
        else expect(optimum(other).objective / optimum(one).objective).toBeCloseTo(1, 5)
        if (one.kind === 'at-most') expect(countOf(problem, kinds, vectorOf(problem, one))).toBeLessThanOrEqual(ask.atMost)
      }
    }
    expect(seen.optimal).toBeGreaterThan(150)
    expect(seen.infeasible).toBeGreaterThan(5)
  })
})

describe('out of time', () => {
  test('searches are never given more time than is left', () => {
    let left = 400
    const given: { readonly limit: number; readonly left: number }[] = []
    const slow: Solver = {
      ...simplex,
      solve: (lp) => {
        left -= 2
        return simplex.solve(lp)
      },
      solveInteger: (program, limits) => {
        given.push({ limit: limits.timeLimitMs, left })
        left -= limits.timeLimitMs
        return { kind: 'failed', reason: 'time limit before any answer' }
      },
    }
    const all = sideBySide(grower, { ...ASK, atMost: 7 }, slow, () => left)
    expect(given.length).toBeGreaterThan(0)
    for (const one of given) expect(one.limit).toBeLessThan(one.left)
    // what steps of linear solves find is shown, and not called the best
    for (const kind of ['at-most', 'most-different'] as const) {
      expect(only(all, kind).proven).toBe(false)
      expect(only(all, kind).found.status).toBe('optimal')
    }
    expect(only(all, 'most-different').movedPct).toBeGreaterThan(1)
    expect(left).toBeGreaterThan(-10)
  })

  test('with no time at all nothing is claimed', () => {
    const all = sideBySide(grower, ASK, simplex, () => 0)
    expect(all).toMatchObject([{ kind: 'cheapest', proven: false, movedPct: null, found: { status: 'failed', reason: 'time-limit' } }])
  })
})
