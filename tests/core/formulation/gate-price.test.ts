import { describe, expect, test } from 'vitest'
import { formulate } from '#core/formulation/formulate'
import {
  asDelivered,
  gatePrice,
  gateVerdict,
  highestPrice,
  stepAt,
  type GateFeed,
  type GatePrice,
  type GateRequest,
} from '#core/formulation/gate-price'
import type { LinearProgram } from '#core/formulation/linear-program'
import type { FormulaProblem, ProblemIngredient } from '#core/formulation/problem'
import { createBothSolvers } from '#platform/solver/both-solvers'
import { createHighsSolver } from '#platform/solver/highs'

const solver = await createBothSolvers()
const highs = await createHighsSolver()

type Priced = Extract<GatePrice, { kind: 'priced' }>
const priced = (request: GateRequest): Priced => {
  const found = gatePrice(request, solver)
  if (found.kind !== 'priced') throw new Error(JSON.stringify(found))
  return found
}

const lot = (id: string, cost: number, cp: number, max?: number): ProblemIngredient => ({ id, cost, max, nutrients: { cp } })
const feed = (id: string, ingredients: readonly ProblemIngredient[], more: Partial<FormulaProblem> = {}): GateFeed => ({
  id,
  problem: { batch: { size: 1000, relation: '=' }, ingredients, nutrients: [{ id: 'cp', min: 12, basis: 'concentration' }], ...more },
})
const stepsOf = ({ steps }: Priced) =>
  steps.map(({ fromPrice, toPrice, kg }) => [fromPrice, toPrice, kg].map((value) => Number(value.toFixed(3))))

describe('what a lot at the gate is worth, by hand', () => {
  const [maize, soya] = [lot('maize', 30, 8), lot('soya', 60, 44)]

  test('half way in protein between maize at 30 and soya at 60 it is worth 45, and 30 once all soya is replaced', () => {
    const request = { feeds: [feed('hens', [maize, soya, lot('truck', 1, 26, 400)])], truckId: 'truck', truckKg: 400 }
    const found = priced(request)
    // with the truck and maize alone: 8 (1000 - t) + 26 t = 12,000, so t = 4000 / 18
    const [some, last] = [4000 / 18, found.steps.at(-1)?.toPrice ?? 0]
    expect(stepsOf(found)).toEqual([
      [0, 30, 400],
      [30, 45, Number(some.toFixed(3))],
      [45, last, 0],
    ])
    expect(found).toMatchObject({ whole: expect.closeTo(30, 9), half: expect.closeTo(45, 9), breakEven: expect.closeTo(45, 9), share: 1 })
    expect(found.average).toBeCloseTo((400 * 30 + some * 15) / 400, 9)
    expect(found.exact).toBe(true)
    expect([29, 30.1, 44, 46].map((asked) => gateVerdict(found, asked))).toEqual(['take', 'offer', 'offer', 'offer'])
    // what it takes the place of between 30 and 45 is all the soya, 4000 / 36 kg, and as much maize as the rest
    const step = stepAt(found.steps, 40)?.feeds['hens'] ?? {}
    const without = found.steps.at(-1)?.feeds['hens'] ?? {}
    expect(step['soya'] ?? 0).toBeCloseTo(0, 9)
    expect(without['soya']).toBeCloseTo(4000 / 36, 9)
    expect((without['maize'] ?? 0) - (step['maize'] ?? 0)).toBeCloseTo(some - 4000 / 36, 9)
  })

  test('feeds share what is in store: a scarce cheap lot counts once', () => {
    // each feed needs 4000 / 36 = 111 kg of soya; of the cheap one there are 150 kg for both
    const shelf = [maize, lot('cheap', 40, 44, 150), soya, lot('truck', 1, 44, 200)]
    const found = priced({ feeds: [feed('hens', shelf), feed('chicks', shelf)], truckId: 'truck', truckKg: 200 })
    expect(
      stepsOf(found)
        .map(([, to, kg]) => [to, kg])
        .slice(0, -1),
    ).toEqual([
      [40, 200],
      [60, Number((8000 / 36 - 150).toFixed(3))],
    ])
    const alone = priced({ feeds: [feed('hens', shelf)], truckId: 'truck', truckKg: 200 })
    expect(alone.breakEven).toBeCloseTo(40, 9)
  })

  test('where the store does not reach for all feeds, the price is of the largest share that can be made without the truck', () => {
    const exact = { nutrients: [{ id: 'cp', min: 12, max: 12, basis: 'concentration' as const }] }
    const shelf = [lot('maize', 30, 8, 1200), soya, lot('truck', 1, 8, 500)]
    const found = priced({ feeds: [feed('hens', shelf, exact), feed('chicks', shelf, exact)], truckId: 'truck', truckKg: 500 })
    // maize is 32/36 of the feed, so 1200 kg make 1350 of the 2000 kg
    expect(found.share).toBeCloseTo(0.675, 5)
    expect(found.breakEven).toBeCloseTo(30, 6)
  })

  test('a feed that only the truck makes possible gives no price, and is named', () => {
    const shelf = [maize, lot('truck', 1, 26, 400)]
    const rich = { nutrients: [{ id: 'cp', min: 50, basis: 'concentration' as const }] }
    const feeds = [feed('hens', shelf), feed('chicks', shelf, rich)]
    expect(gatePrice({ feeds, truckId: 'truck', truckKg: 400 }, solver)).toEqual({
      kind: 'none',
      reason: 'no-feed',
      states: { hens: 'only-with-truck', chicks: 'impossible' },
    })
  })

  test('what must lose water first is worth its dry kilograms: the money of all kilograms stays the same', () => {
    const request = { feeds: [feed('hens', [maize, soya, lot('truck', 1, 26, 400)])], truckId: 'truck', truckKg: 400 }
    const dried = priced(request)
    const wet = asDelivered(dried, 'truck', 0.8)
    if (wet.kind !== 'priced') throw new Error(wet.kind)
    expect(wet).toMatchObject({
      whole: expect.closeTo(24, 9),
      breakEven: expect.closeTo(36, 9),
      average: expect.closeTo(0.8 * dried.average, 9),
    })
    expect(stepsOf(wet).map(([, , kg]) => kg)).toEqual([500, Number((4000 / 18 / 0.8).toFixed(3)), 0])
    expect(wet.steps[1]?.feeds['hens']?.['truck']).toBeCloseTo(4000 / 18 / 0.8, 9)
    expect(wet.steps[1]?.feeds['hens']?.['maize']).toBe(dried.steps[1]?.feeds['hens']?.['maize'])
  })

  test('where time is short the steps are near: fewer of them, never below what is used for certain, and no use far beyond the last', () => {
    const request = { feeds: [feed('hens', [maize, soya, lot('truck', 1, 26, 400)])], truckId: 'truck', truckKg: 400 }
    const hurried = gatePrice(request, solver, () => false)
    if (hurried.kind !== 'priced') throw new Error(hurried.kind)
    // from the two ends alone: all at no price, none at a high one, and so all up to what it spares a kilogram
    const exact = priced(request)
    expect(hurried.exact).toBe(false)
    expect(stepsOf(hurried).map(([, , kg]) => kg)).toEqual([400, 0])
    expect(hurried.whole).toBeCloseTo(exact.average, 9)
    expect(hurried.breakEven).toBeCloseTo(exact.average, 9)
  })

  test('what no feed may use is worth nothing, and so is a lot that breaks every limit', () => {
    const capped = { linear: [{ id: 'none of it', coefs: { truck: 1 }, max: 0 }] }
    const shelf = [maize, soya, lot('truck', 1, 26, 400)]
    const found = priced({ feeds: [feed('hens', shelf, capped)], truckId: 'truck', truckKg: 400 })
    expect(found).toMatchObject({ whole: null, half: null, breakEven: null, average: 0 })
    expect(gateVerdict(found, 0.01)).toBe('not-wanted')
  })

  test('more than can be used has no price for the whole, and one for a part', () => {
    const capped = { linear: [{ id: 'at most', coefs: { truck: 1 }, max: 100 }] }
    const found = priced({
      feeds: [feed('hens', [maize, soya, lot('truck', 1, 26, 400)], capped)],
      truckId: 'truck',
      truckKg: 400,
    })
    expect(found).toMatchObject({ whole: null, half: null, breakEven: expect.closeTo(45, 9) })
    expect(highestPrice(found.steps, 100 - 1e-6)).toBeCloseTo(45, 9)
    expect([44, 46].map((asked) => gateVerdict(found, asked))).toEqual(['part', 'not-wanted'])
  })
})

/** A stream of figures from a seed (Lehmer's generator, 48271 mod 2^31 - 1), so that every run has the same trucks. */
const figures = (seed: number) => {
  let state = seed
  return (low: number, high: number): number => {
    state = (state * 48271) % 2147483647
    return low + ((high - low) * state) / 2147483647
  }
}

type Made = {
  readonly lots: readonly (readonly [number, number, number, number])[]
  readonly feeds: readonly Wanted[]
  readonly truckKg: number
}
type Wanted = { readonly kg: number; readonly low: number; readonly lysine: number; readonly fibre: number }

/** Lots as price, protein, lysine, fibre; the first is the truck. The last two are plenty and make every feed possible. */
const randomTruck = (seed: number): Made & { readonly stock: readonly number[] } => {
  const next = figures(seed)
  const lots = Array.from({ length: 7 }, () => [next(15, 90), next(7, 46), next(0.2, 3), next(1, 20)] as const)
  const all = [...lots, [120, 50, 3.4, 3] as const, [70, 8, 0.3, 2] as const]
  const feeds = Array.from({ length: 3 }, () => ({ kg: next(200, 3000), low: next(13, 22), lysine: next(0.5, 1), fibre: next(5, 9) }))
  const truckKg = next(100, 5000)
  return { lots: all, feeds, truckKg, stock: [truckKg, ...Array.from({ length: 6 }, () => next(50, 1500)), 1e6, 1e6] }
}

const requestOf = ({ lots, feeds, truckKg, stock }: ReturnType<typeof randomTruck>): GateRequest => ({
  truckId: 'l0',
  truckKg,
  feeds: feeds.map(({ kg, low, lysine, fibre }, k) => ({
    id: `f${k}`,
    problem: {
      batch: { size: kg, relation: '=' },
      ingredients: lots.map(([cost, cp, lys, cf], i) => ({ id: `l${i}`, cost, max: stock[i], nutrients: { cp, lys, cf } })),
      nutrients: [
        { id: 'cp', min: low, basis: 'concentration' },
        { id: 'lys', min: lysine, basis: 'concentration' },
        { id: 'cf', max: fibre, basis: 'concentration' },
      ],
    },
  })),
})

/** The same by a program that this test writes itself, cell by cell, for HiGHS: kilograms of every lot in every feed. */
function byHighs({ lots, feeds, stock }: ReturnType<typeof randomTruck>, price: number): { cost: number; used: number } {
  const at = (k: number, i: number): number => k * lots.length + i
  const rows: LinearProgram['rows'][number][] = []
  const row = (lower: number | null, upper: number | null, cells: readonly (readonly [number, number])[]): void => {
    const sorted = cells.toSorted(([a], [b]) => a - b)
    rows.push({ name: `r${rows.length}`, lower, upper, columns: sorted.map(([c]) => c), coefficients: sorted.map(([, v]) => v) })
  }
  for (const [k, { kg, low, lysine, fibre }] of feeds.entries()) {
    row(
      kg,
      kg,
      lots.map((_, i) => [at(k, i), 1]),
    )
    row(
      low * kg,
      null,
      lots.map(([, cp], i) => [at(k, i), cp]),
    )
    row(
      lysine * kg,
      null,
      lots.map(([, , lys], i) => [at(k, i), lys]),
    )
    row(
      null,
      fibre * kg,
      lots.map(([, , , cf], i) => [at(k, i), cf]),
    )
  }
  for (const i of lots.keys())
    row(
      null,
      stock[i] ?? 0,
      feeds.map((_, k) => [at(k, i), 1]),
    )
  const variables = feeds.flatMap((_, k) =>
    lots.map(([cost], i) => ({ name: `x${at(k, i)}`, cost: i === 0 ? price : cost, lower: 0, upper: null })),
  )
  const outcome = highs.solve({ variables, rows })
  if (outcome.kind !== 'optimal') throw new Error(outcome.kind)
  return { cost: outcome.objective, used: feeds.reduce((sum, _, k) => sum + (outcome.x[at(k, 0)] ?? 0), 0) }
}

/** What the steps say the cost grows by from one price to another. */
const growth = (steps: Priced['steps'], from: number, to: number): number =>
  steps.reduce((sum, step) => sum + step.kg * Math.max(0, Math.min(to, step.toPrice) - Math.max(from, step.fromPrice)), 0)

describe('fifty seeded trucks against HiGHS on a program of its own', { timeout: 120_000 }, () => {
  test('use and cost agree just below and just above every break point and at drawn prices, and use never rises', () => {
    const seen = { breaks: 0, wholes: 0, parts: 0 }
    for (let seed = 1; seed <= 50; seed += 1) {
      const truck = randomTruck(seed * 7919)
      const found = priced(requestOf(truck))
      const { steps } = found
      const next = figures(seed)
      const turns = steps.slice(0, -1).map(({ toPrice }) => toPrice)
      const end = steps.at(-1)?.toPrice ?? 0
      const free = byHighs(truck, 0).cost
      for (const [k, step] of steps.entries()) {
        if (k > 0) expect(step.kg).toBeLessThan(steps[k - 1]?.kg ?? 0)
        expect(step.fromPrice).toBe(k === 0 ? 0 : steps[k - 1]?.toPrice)
      }
      const room = (price: number): number => Math.min(...[0, ...turns, end].map((turn) => Math.abs(turn - price)))
      const asked = [...turns.flatMap((turn) => [turn * (1 - 1e-4), turn * (1 + 1e-4)]), ...Array.from({ length: 4 }, () => next(1, 130))]
      for (const price of asked.filter((one) => one < end && room(one) > 1e-5 * one)) {
        const exact = byHighs(truck, price)
        expect(Math.abs((stepAt(steps, price)?.kg ?? Number.NaN) - exact.used), `seed ${seed} at ${price}`).toBeLessThan(
          1e-5 * truck.truckKg,
        )
        expect(Math.abs(free + growth(steps, 0, price) - exact.cost), `seed ${seed} at ${price}`).toBeLessThan(1e-6 * exact.cost)
        // what each feed takes of the truck in that step adds up to what is used
        const taken = Object.values(stepAt(steps, price)?.feeds ?? {}).reduce((sum, lots) => sum + (lots['l0'] ?? 0), 0)
        expect(Math.abs(taken - exact.used)).toBeLessThan(1e-5 * truck.truckKg)
      }
      expect(found.average).toBeCloseTo((byHighs(truck, end).cost - free) / truck.truckKg, 4)
      seen.breaks += turns.length
      seen.wholes += found.whole === null ? 0 : 1
      seen.parts += found.whole === null && found.breakEven !== null ? 1 : 0
    }
    // the draw holds every kind, so that no side of the test runs empty
    expect(seen.breaks).toBeGreaterThan(100)
    expect(seen.wholes).toBeGreaterThan(10)
    expect(seen.parts).toBeGreaterThan(3)
  })
})

describe('limits that ask for certainty', () => {
  const uncertain = (id: string, cost: number, cp: number, sd: number, max?: number): ProblemIngredient => ({
    ...lot(id, cost, cp, max),
    spreads: { cp: { own: sd } },
  })

  test('count: use follows single mixes solved anew, and a surer truck is worth more', () => {
    const shelf = (sd: number) => [lot('maize', 30, 8), uncertain('soya', 60, 44, 2), uncertain('truck', 1, 40, sd, 100)]
    const sure = { nutrients: [{ id: 'cp', min: 16, basis: 'concentration' as const, z: 1.645 }] }
    const valued = [1, 4].map((sd) => priced({ feeds: [feed('hens', shelf(sd), sure)], truckId: 'truck', truckKg: 100 }))
    expect(valued[0]?.exact).toBe(false)
    expect(valued[0]?.average).toBeGreaterThan((valued[1]?.average ?? 0) + 0.05)
    const [found] = valued
    const at = (found?.whole ?? 0) - 1
    const problem = feed(
      'hens',
      shelf(1).map((one) => (one.id === 'truck' ? { ...one, cost: at } : one)),
      sure,
    ).problem
    const anew = formulate(problem, highs)
    if (anew.status !== 'optimal' || !found) throw new Error(anew.status)
    expect(anew.amounts['truck']).toBeCloseTo(stepAt(found.steps, at)?.kg ?? 0, 3)
  })

  test('hold for each feed by itself where several are put together', () => {
    const sure = { nutrients: [{ id: 'cp', min: 16, basis: 'concentration' as const, z: 1.645 }] }
    const shelf = [lot('maize', 30, 8), uncertain('soya', 60, 44, 2), uncertain('truck', 1, 40, 1, 100)]
    const alone = priced({ feeds: [feed('hens', shelf, sure)], truckId: 'truck', truckKg: 100 })
    const both = priced({
      feeds: [feed('hens', shelf, sure), feed('maize alone', [lot('maize', 30, 8)], { nutrients: [] })],
      truckId: 'truck',
      truckKg: 100,
    })
    expect(both.average).toBeCloseTo(alone.average, 3)
  })
})
