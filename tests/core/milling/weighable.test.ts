import { describe, expect, test } from 'vitest'
import { formulate } from '#core/formulation/formulate'
import type { NutrientId } from '#core/composition/nutrients'
import { contentOf, isKnown } from '#core/formulation/mix-lot'
import { mixProblem } from '#core/formulation/mix-problem'
import { loadChecker } from '#core/milling/check-load'
import { makeLoads, type LoadLot, type LoadsRequest, type MadeLoad } from '#core/milling/make-loads'
import { amountsOfSheet } from '#core/milling/recheck-load'
import { grams, sumGrams, type Grams } from '#core/quantity/mass'
import { createGlpkSolver } from '#platform/solver/glpk'
import { createHighsSolver } from '#platform/solver/highs'
import { randomRequest } from './random-mixes.js'

const [glpk, highs] = [await createGlpkSolver(), await createHighsSolver()]
const kg = (value: number): Grams => grams(Math.round(value * 1000))

const priceOf = ({ lots }: LoadsRequest, lotId: string): number => lots.find(({ id }) => id === lotId)?.pricePerKg ?? Number.NaN
const costOf = (request: LoadsRequest, { lines }: Pick<MadeLoad, 'lines'>): number =>
  lines.reduce((sum, line) => sum + (priceOf(request, line.lotId) * line.grams) / 1000, 0)

/** The limits on means worked out again here, in plain sums, beside the checker of the product. */
function brokenIn({ lots, limits }: LoadsRequest, { load, lines }: MadeLoad): string[] {
  const lotOf = (id: string): LoadLot => lots.find((lot) => lot.id === id) ?? lots[0] ?? expect.fail('no lot')
  const mean = (nutrient: NutrientId): number =>
    lines.reduce((sum, line) => {
      const content = contentOf(lotOf(line.lotId).contents, nutrient)
      return sum + (isKnown(content) ? content : Number.NaN) * line.grams
    }, 0) / load
  const pctOf = (ids: readonly string[]): number =>
    (100 * lines.reduce((sum, line) => sum + (ids.includes(lotOf(line.lotId).ingredientId) ? line.grams : 0), 0)) / load
  const off = (id: string, value: number, min: number | undefined, max: number | undefined): string[] =>
    (min ?? -Infinity) * (1 - 1e-6) <= value && value <= (max ?? Infinity) * (1 + 1e-6) ? [] : [`${id} ${min} ${value} ${max}`]
  return [
    ...limits.nutrients.flatMap(({ nutrient, min, max }) => off(nutrient, mean(nutrient), min, max)),
    ...limits.ratios.flatMap(({ id, numerator, denominator, min, max }) => off(id, mean(numerator) / mean(denominator), min, max)),
    ...limits.ingredients.flatMap(({ ingredientId, minPct, maxPct }) =>
      minPct !== undefined && minPct === maxPct ? [] : off(ingredientId, pctOf([ingredientId]), minPct, maxPct),
    ),
    ...limits.groups.flatMap(({ id, ingredientIds, minPct, maxPct }) => off(id, pctOf(ingredientIds), minPct, maxPct)),
  ]
}

function holdsTogether(request: LoadsRequest, loads: readonly MadeLoad[]): void {
  const { lots, scales } = request
  for (const made of loads) {
    expect(sumGrams(made.lines.map((line) => line.grams))).toBe(made.load)
    expect(brokenIn(request, made)).toEqual([])
    expect(loadChecker(lots, request.limits, scales)(amountsOfSheet(made.sheet))).toEqual([])
    for (const row of [...made.sheet.rows, ...made.sheet.preBlendRows]) {
      const isWhole = row.grams % (row.scale === 'table' ? scales.tableStep : scales.floorStep) === 0
      expect(row.lotId === null || isWhole).toBe(true)
    }
    const ofIngredient = new Map<string, number>()
    for (const { lotId } of made.lines) {
      const ingredientId = lots.find(({ id }) => id === lotId)?.ingredientId ?? ''
      ofIngredient.set(ingredientId, (ofIngredient.get(ingredientId) ?? 0) + 1)
    }
    expect(Math.max(...ofIngredient.values())).toBeLessThanOrEqual(2)
  }
  for (const lot of lots) {
    const taken = loads.flatMap(({ lines }) => lines.filter((line) => line.lotId === lot.id).map((line) => line.grams))
    expect(sumGrams(taken)).toBeLessThanOrEqual(Math.round(lot.freeKg * 1000))
  }
}

describe('500 random mixes on two scales', () => {
  const outcomes = Array.from({ length: 500 }, (_, seed) => ({ request: randomRequest(seed), seed })).map((one) => ({
    ...one,
    outcome: makeLoads(one.request, glpk),
  }))
  const made = outcomes.flatMap(({ request, seed, outcome }) => (outcome.kind === 'made' ? [{ request, seed, loads: outcome.loads }] : []))

  test('most can be weighed, and of the rest it is said which limits stand in the way', () => {
    expect(made.length).toBeGreaterThan(350)
    for (const { outcome } of outcomes) {
      if (outcome.kind === 'made') continue
      if (outcome.reason !== 'limits') throw new Error(JSON.stringify(outcome))
      expect(outcome.violations.length).toBeGreaterThan(0)
    }
  })

  test('are exact in mass and steps, keep every limit, and take at most two lots of an ingredient and no more than is free', () => {
    for (const { request, loads } of made) holdsTogether(request, loads)
  })

  test('cost no more above the mix without steps than they say, and most are proven', () => {
    for (const { request, loads } of made) {
      const { lots, limits } = request
      const total = sumGrams(loads.map(({ load }) => load)) / 1000
      const lowest = formulate(mixProblem({ batchKg: total, lots, limits }).problem, glpk)
      if (lowest.status !== 'optimal') throw new Error(lowest.status)
      const cost = loads.reduce((sum, load) => sum + costOf(request, load), 0)
      // without steps, and all loads together, nothing can cost more
      expect(cost).toBeGreaterThanOrEqual(lowest.objective * (1 - 1e-6))
      if (loads.length > 1) continue
      expect(((cost - lowest.objective) / cost) * 100).toBeLessThanOrEqual((loads[0]?.gapPct ?? Number.NaN) + 1e-4)
    }
    const all = made.flatMap(({ loads }) => loads)
    expect(all.filter(({ proven }) => proven).length / all.length).toBeGreaterThan(0.95)
  })

  test('cost the same by HiGHS, within the gap that was asked for', () => {
    for (const { request, loads } of made.slice(0, 40)) {
      const again = makeLoads(request, highs)
      if (again.kind !== 'made') throw new Error(JSON.stringify(again))
      holdsTogether(request, again.loads)
      const [first, second] = [loads[0], again.loads[0]]
      if (!first || !second) throw new Error('no load')
      if (!first.proven || !second.proven) continue
      const cheapest = (load: MadeLoad): number => costOf(request, load) * (1 - load.bagsCostPct / 100)
      expect(Math.abs(cheapest(first) / cheapest(second) - 1)).toBeLessThan(2 * request.search.relativeGap)
    }
  })

  test('say when a limit that asks for certainty is in the way, and keep it where they can', () => {
    const certain = made.filter(({ request }) => request.limits.nutrients.some(({ certainty }) => certainty !== undefined))
    expect(certain.length).toBeGreaterThan(50)
    for (const { request, loads } of certain) {
      const { min = Number.NaN } = request.limits.nutrients.find(({ nutrient }) => nutrient === 'CP') ?? {}
      for (const { lines, load } of loads) {
        let [mean, own] = [0, 0]
        const shared = new Map<string, number>()
        for (const { lotId, grams: amount } of lines) {
          const lot = request.lots.find(({ id }) => id === lotId)
          const spread = lot?.spreads?.CP
          mean += ((lot?.contents.CP as number) * amount) / load
          own += (((spread?.own ?? 0) * amount) / load) ** 2
          for (const [key, sd] of Object.entries(spread?.shared ?? {})) shared.set(key, (shared.get(key) ?? 0) + (sd * amount) / load)
        }
        const sd = Math.sqrt(own + [...shared.values()].reduce((sum, each) => sum + each * each, 0))
        // z of 0.9 is 1.281552 (any table of the normal distribution)
        expect(mean - 1.281552 * sd).toBeGreaterThanOrEqual(min * (1 - 2e-6))
      }
    }
  })
})
