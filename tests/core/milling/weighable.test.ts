import { describe, expect, test } from 'vitest'
import { formulate } from '#core/formulation/formulate'
import type { NutrientId } from '#core/composition/nutrients'
import type { FormulaLimits } from '#core/formulation/limits'
import { contentOf, isKnown } from '#core/formulation/mix-lot'
import { mixProblem } from '#core/formulation/mix-problem'
import { loadChecker } from '#core/milling/check-load'
import { makeLoads, type LoadLot, type LoadsRequest, type MadeLoad } from '#core/milling/make-loads'
import type { AddingRole } from '#core/milling/round-load'
import { amountsOfSheet } from '#core/milling/recheck-load'
import { grams, sumGrams, type Grams } from '#core/quantity/mass'
import { createGlpkSolver } from '#platform/solver/glpk'
import { createHighsSolver } from '#platform/solver/highs'
import { randomFrom, randomRequest } from './random-mixes.js'

const [glpk, highs] = [await createGlpkSolver(), await createHighsSolver()]
const kg = (value: number): Grams => grams(Math.round(value * 1000))

const priceOf = ({ lots }: LoadsRequest, lotId: string): number => lots.find(({ id }) => id === lotId)?.pricePerKg ?? Number.NaN
const costOf = (request: LoadsRequest, { lines }: Pick<MadeLoad, 'lines'>): number =>
  lines.reduce((sum, line) => sum + (priceOf(request, line.lotId) * line.grams) / 1000, 0)

/** The limits on shares with the room that the scale needs for fixed ones. */
const shown = ({ limits, loads, scales }: LoadsRequest): FormulaLimits['ingredients'] =>
  limits.ingredients.map((limit) => {
    const { minPct, maxPct } = limit
    const [load] = loads
    if (minPct === undefined || minPct !== maxPct || load === undefined) return limit
    const step = (minPct / 100) * load < scales.tableMax ? scales.tableStep : scales.floorStep
    return { ...limit, minPct: Math.max(0, minPct - (100 * step) / load), maxPct: minPct + (100 * step) / load }
  })

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
      // a fixed share is kept within a step of its scale: that much cheaper may it be than exactly kept
      const lowest = formulate(mixProblem({ batchKg: total, lots, limits: { ...limits, ingredients: shown(request) } }).problem, glpk)
      if (lowest.status !== 'optimal') throw new Error(lowest.status)
      const cost = loads.reduce((sum, load) => sum + costOf(request, load), 0)
      // without steps, and all loads together, nothing can cost more
      expect(cost).toBeGreaterThanOrEqual(lowest.objective * (1 - 1e-6))
      if (loads.length === 1) expect(((cost - lowest.objective) / cost) * 100).toBeLessThanOrEqual((loads[0]?.gapPct ?? Number.NaN) + 1e-3)
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

describe('tiny loads that can be counted out', () => {
  /** The cheapest of all loads of two or three lots in whole steps, each looked at. */
  function cheapestByHand(request: LoadsRequest): number | null {
    const { lots, limits, scales } = request
    const load = request.loads[0] ?? grams(0)
    const check = loadChecker(lots, limits, scales)
    const shownAmounts = Array.from({ length: load / scales.tableStep + 1 }, (_, i) => i * scales.tableStep).filter(
      (amount) => amount < scales.tableMax || amount % scales.floorStep === 0,
    )
    let best: number | null = null
    const [first, second, third] = lots
    for (const a of shownAmounts) {
      for (const b of shownAmounts) {
        const c = load - a - b
        if (c < 0 || !first || !second || !third) continue
        // the biggest carries: its odd grams are weighed on the table scale
        const amounts = new Map([
          [first.id, grams(a)],
          [second.id, grams(b)],
          [third.id, grams(c)],
        ])
        if (check(amounts).length > 0) continue
        const cost = lots.reduce((sum, lot) => sum + ((amounts.get(lot.id) ?? 0) / 1000) * lot.pricePerKg, 0)
        best = best === null ? cost : Math.min(best, cost)
      }
    }
    return best
  }

  test.each(Array.from({ length: 40 }, (_, seed) => seed))('are as cheap as the cheapest counted out (%d)', (seed) => {
    const random = randomFrom(seed + 1)
    const lot = (id: string, role: AddingRole, pricePerKg: number, CP: number): LoadLot => {
      return { id, ingredientId: id, role, isDrug: false, pricePerKg, freeKg: 50, contents: { CP, AME: 3400 - 30 * CP + 200 * random() } }
    }
    const request: LoadsRequest = {
      lots: [
        lot('soya', 'protein', 90 + 10 * random(), 44),
        lot('pollard', 'other', 25 + 10 * random(), 15),
        lot('maize', 'grain', 42, 8.5),
      ],
      limits: {
        nutrients: [
          { nutrient: 'CP', min: 16 + 3 * random() },
          { nutrient: 'AME', min: 2750 + 50 * random() },
        ],
        ratios: [],
        ingredients: [{ ingredientId: 'pollard', maxPct: 20 + 20 * random() }],
        groups: [],
      },
      loads: [kg(12)],
      scales: { floorStep: grams(500), tableStep: grams(100), tableMax: kg(2) },
      search: { timeLimitMs: 2_000, relativeGap: 1e-6 },
    }
    const outcome = makeLoads(request, glpk)
    const byHand = cheapestByHand(request)
    if (outcome.kind !== 'made') return expect(byHand).toBeNull()
    const [load] = outcome.loads
    if (!load || byHand === null) throw new Error('the counted loads have none')
    holdsTogether(request, outcome.loads)
    expect(costOf(request, load) * (1 - load.gapPct / 100)).toBeLessThanOrEqual(byHand * (1 + 1e-9))
    expect(costOf(request, load)).toBeLessThanOrEqual(byHand * (1 + 1e-4))
  })
})

describe('full bags', () => {
  const base = { isDrug: false, freeKg: 2000, bag: null }
  const lots: readonly LoadLot[] = [
    { ...base, id: 'maize', ingredientId: 'maize', role: 'grain', pricePerKg: 42, contents: { CP: 8.5 } },
    { ...base, id: 'soya', ingredientId: 'soya', role: 'protein', pricePerKg: 95, contents: { CP: 44 }, bag: kg(50) },
    { ...base, id: 'pollard', ingredientId: 'pollard', role: 'other', pricePerKg: 41.98, contents: { CP: 8.6 }, bag: kg(50) },
  ]
  const limits: FormulaLimits = {
    nutrients: [{ nutrient: 'CP', min: 15 }],
    ratios: [],
    ingredients: [{ ingredientId: 'pollard', maxPct: 15 }],
    groups: [],
  }
  const request: LoadsRequest = {
    lots,
    limits,
    loads: [kg(500)],
    scales: { floorStep: grams(100), tableStep: grams(1), tableMax: kg(6) },
    search: { timeLimitMs: 2_000, relativeGap: 1e-4 },
  }
  const linesOf = (of: LoadsRequest) => {
    const outcome = makeLoads(of, glpk)
    if (outcome.kind !== 'made' || !outcome.loads[0]) throw new Error(JSON.stringify(outcome))
    const [load] = outcome.loads
    return { load, line: (id: string) => load.lines.find(({ lotId }) => lotId === id) }
  }

  test('are taken whole where that costs little, and counted with the rest where not', () => {
    const { load, line } = linesOf(request)
    // 15 % of 500 kg is 75 kg of pollard at most; a full bag costs almost nothing more, because maize is nearly as cheap
    expect(line('pollard')).toMatchObject({ grams: kg(50), bags: { count: 1, grams: kg(50) } })
    // the protein needs about 91 kg of soya, which is a bag and the rest
    expect(line('soya')?.bags).toEqual({ count: 1, grams: kg(50) })
    expect(line('soya')?.grams).toBeGreaterThan(kg(90))
    expect(load.bagsCostPct).toBeGreaterThanOrEqual(0)
    expect(load.bagsCostPct).toBeLessThanOrEqual(0.1)
  })

  test('are opened where keeping them whole would cost more than a thousandth', () => {
    const cheap = { ...request, lots: lots.map((lot) => (lot.id === 'pollard' ? { ...lot, pricePerKg: 20 } : lot)) }
    expect(linesOf(cheap).line('pollard')).toMatchObject({ grams: kg(75), bags: { count: 1 } })
  })

  test('do not count where bags differ', () => {
    const loose = { ...request, lots: lots.map((lot) => ({ ...lot, bag: null })) }
    expect(linesOf(loose).load.lines.every(({ bags }) => bags === null)).toBe(true)
  })
})

describe('what cannot be weighed', () => {
  const request = randomRequest(3)
  const limitedBy = (change: Partial<FormulaLimits>): LoadsRequest => ({ ...request, limits: { ...request.limits, ...change } })
  const violated = (of: LoadsRequest): readonly string[] => {
    const outcome = makeLoads(of, glpk)
    return outcome.kind === 'cannot' && outcome.reason === 'limits' ? outcome.violations.map(({ id }) => id) : []
  }

  test('says which limit no load keeps: one out of reach, or two that fall between two steps', () => {
    expect(violated(limitedBy({ nutrients: [...request.limits.nutrients, { nutrient: 'EE', min: 60 }] }))).toContain('nutrient:EE:min')
    const narrow: LoadsRequest = {
      lots: [
        { id: 'a', ingredientId: 'a', role: 'grain', isDrug: false, pricePerKg: 42, freeKg: 500, contents: { CP: 8 } },
        { id: 'b', ingredientId: 'b', role: 'protein', isDrug: false, pricePerKg: 95, freeKg: 500, contents: { CP: 44 } },
      ],
      // 33.33 kg of soya in 100 are 20.0 %: its scale shows 33 and 33.5, that is 19.88 and 20.06 % (arithmetic)
      limits: { nutrients: [{ nutrient: 'CP', min: 19.95, max: 20.02 }], ratios: [], ingredients: [], groups: [] },
      loads: [kg(100)],
      scales: { floorStep: grams(500), tableStep: grams(500), tableMax: kg(6) },
      search: request.search,
    }
    expect(violated(narrow)[0]).toMatch(/^nutrient:CP:(min|max)$/)
  })

  test('says when there is not enough of everything together', () => {
    const empty = { ...request, lots: request.lots.map((lot) => ({ ...lot, freeKg: 0.5 })) }
    expect(makeLoads(empty, glpk)).toMatchObject({ kind: 'cannot', loadIndex: 0, reason: 'stock' })
  })
})

test('asks and answers in plain data that another thread can be sent', () => {
  const request = randomRequest(11)
  const outcome = makeLoads(request, glpk)
  expect(makeLoads(structuredClone(request), glpk)).toEqual(structuredClone(outcome))
})
