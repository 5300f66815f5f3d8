import { beforeAll, describe, expect, it } from 'vitest'
import { AlternativesView, AssayWorthView, CurveView, ExplanationView, IntakeView } from '#contract/solving'
import { MixView } from '#contract/formulas'
import { prepareMill } from '../../support/builders/mill.js'
import { makeLot } from '../../support/builders/lots.js'
import { limitsOf } from '../../support/builders/formulas.js'
import { openMill } from '../../support/mill.js'

const mill = await openMill()
const FEEDS = [
  ['maize_white', '40.0000', 8],
  ['soybean_meal_44', '95.0000', 44],
  ['wheat_pollard', '28.0000', 15],
] as const
beforeAll(async () => {
  await prepareMill(mill.db, { jurisdiction: 'EU' })
  for (const [ingredientId, pricePerKg, protein] of FEEDS)
    await makeLot(mill.db, { ingredientId, pricePerKg, netKg: '5000.000', assays: { CP: protein, moisture: 12 } })
  // fish meal is not in store, but could be bought
  await mill.db.ingredient.update({ where: { id: 'fish_meal_local_50' }, data: { replacementPricePerKg: '150.0000' } })
})

const ask = async (path: string, body: object) => {
  const reply = await (await mill.as('nutritionist')).post(path, { stage: 'layer_peak', ...body })
  expect(reply.status, reply.text).toBe(200)
  return reply
}
const solve = async (body: object) => (await ask('/solve', body)).as(MixView)
const explain = async (body: object) => (await ask('/solve/explain', body)).as(ExplanationView)
const curve = async (body: object) => (await ask('/solve/curve', body)).as(CurveView)
/** Maize, soya and at most a fifth of pollard. */
const limits = (protein: number) =>
  limitsOf({ nutrients: [{ nutrient: 'CP', min: protein }], ingredients: [{ ingredientId: 'wheat_pollard', maxPct: 20 }] })
const costAt = async (body: object): Promise<number> => Number((await solve(body)).costPerTonne)

describe('explaining a mix', () => {
  it('tells for each limit what a step saves, and it is what solving again saves, down to where it says', async () => {
    const found = await explain({ limits: limits(16) })
    expect(found).toMatchObject({ kind: 'optimal', complete: true, certainty: null, ranges: 'exact' })
    const protein = found.limits.find(({ row }) => row === 'nutrient:CP:min')
    expect(protein).toMatchObject({ from: 16, to: 15.9, unit: '%' })
    const now = await costAt({ limits: limits(16) })
    expect(now - (await costAt({ limits: limits(15.9) }))).toBeCloseTo(protein?.savesPerTonne ?? 0, 1)
    // below it no soya is left, and then protein saves less or nothing
    const end = protein?.holdsTo ?? 0
    const slope = (protein?.savesPerTonne ?? 0) / 0.1
    expect((await costAt({ limits: limits(16) })) - (await costAt({ limits: limits(end) }))).toBeCloseTo(slope * (16 - end), 0)
    expect((await costAt({ limits: limits(end) })) - (await costAt({ limits: limits(end - 0.5) }))).toBeLessThan(slope * 0.5 - 1)
    const pollard = found.limits.find(({ limit }) => limit['ingredientId'] === 'wheat_pollard')
    expect(pollard).toMatchObject({ from: 20, unit: '%' })
    expect(pollard?.to).toBeGreaterThan(20)
    expect(
      now - (await costAt({ limits: { ...limits(16), ingredients: [{ ingredientId: 'wheat_pollard', maxPct: pollard?.to }] } })),
    ).toBeCloseTo(pollard?.savesPerTonne ?? 0, 1)
  })

  it('tells between which prices each lot stays, and outside them the mix is another', async () => {
    const { prices } = await explain({ limits: limits(16) })
    const soya = prices.find(({ ingredientId }) => ingredientId === 'soybean_meal_44')
    expect(soya).toMatchObject({ used: true, pricePerKg: 95, staysKnown: true })
    const mixAt = async (pricePerKg: number) =>
      (await solve({ limits: limits(16), prices: [{ ingredientId: 'soybean_meal_44', pricePerKg: pricePerKg.toFixed(4) }] })).amounts.map(
        ({ ingredientId, kg }) => `${ingredientId} ${kg}`,
      )
    const today = await mixAt(95)
    expect(await mixAt((soya?.staysFrom ?? 0) + 0.01)).toEqual(today)
    expect(await mixAt((soya?.staysFrom ?? 0) - 0.01)).not.toEqual(today)
    expect(soya?.staysTo).toBeNull()
  })

  it('decides by what replacing a lot costs, values the stock at what was paid, and keeps a tried price nowhere', async () => {
    const before = await solve({ limits: limits(16) })
    // each lot is valued to the cent, the whole once
    expect(Math.abs(Number(before.paidTotal) - Number(before.costTotal))).toBeLessThanOrEqual(0.03)
    await mill.db.ingredient.update({ where: { id: 'maize_white' }, data: { replacementPricePerKg: '44.0000' } })
    const dearer = await solve({ limits: limits(16) })
    const maize = dearer.amounts.find(({ ingredientId }) => ingredientId === 'maize_white')
    expect(maize).toMatchObject({ pricePerKg: '44.0000', paidPricePerKg: '40.0000' })
    expect(Number(dearer.costTotal) - Number(dearer.paidTotal)).toBeCloseTo(4 * Number(maize?.kg), 1)
    const tried = await solve({ limits: limits(16), prices: [{ ingredientId: 'maize_white', pricePerKg: '50' }] })
    expect(tried.amounts.find(({ ingredientId }) => ingredientId === 'maize_white')?.pricePerKg).toBe('50.0000')
    expect((await solve({ limits: limits(16) })).costTotal).toBe(dearer.costTotal)
    await mill.db.ingredient.update({ where: { id: 'maize_white' }, data: { replacementPricePerKg: null } })
  })

  it('leaves out what it is told to', async () => {
    const mix = await solve({ limits: limits(16), without: ['wheat_pollard'] })
    expect(mix.amounts.map(({ ingredientId }) => ingredientId).sort()).toEqual(['maize_white', 'soybean_meal_44'])
  })

  it('of an infeasible one tells how far a limit must give way, and what to buy instead', async () => {
    const wanted = limitsOf({ nutrients: [{ nutrient: 'CP', min: 46 }] })
    const found = await explain({ limits: wanted })
    expect(found).toMatchObject({ kind: 'infeasible', together: [] })
    const protein = found.relaxations.find(({ row }) => row === 'nutrient:CP:min')
    expect(protein).toMatchObject({ from: 46, unit: '%' })
    // the richest lot has about 44 %, and the value is told in steps of 0.1 %
    expect(protein?.to).toBeGreaterThan(43)
    expect(protein?.to).toBeLessThanOrEqual(44.5)
    expect((await solve({ limits: limitsOf({ nutrients: [{ nutrient: 'CP', min: protein?.to }] }) })).kind).toBe('optimal')
    expect(found.purchase?.items).toMatchObject([{ ingredientId: 'fish_meal_local_50', pricePerKg: '150.0000' }])
    expect(Number(found.purchase?.total)).toBeCloseTo(150 * Number(found.purchase?.items[0]?.kg), 2)
  })
})

describe('the cost over a range', () => {
  it('of a limit runs through the costs that solving gives, straight between its points', async () => {
    const found = await curve({ limits: limits(16), of: { kind: 'limit', row: 'nutrient:CP:min' }, from: 10, to: 20 })
    expect(found).toMatchObject({ unit: '%', now: 16, exact: true, reason: null })
    expect(found.points.length).toBeGreaterThan(1)
    for (const { at, costPerTonne } of found.points) expect(await costAt({ limits: limits(at) })).toBeCloseTo(costPerTonne, 1)
    const [one, other] = found.points.slice(-2)
    if (!one || !other) throw new Error('two points')
    expect(await costAt({ limits: limits((one.at + other.at) / 2) })).toBeCloseTo((one.costPerTonne + other.costPerTonne) / 2, 1)
  })

  it('of a fixed share runs through the costs that solving gives, and turns where they turn', async () => {
    const fixedAt = (pct: number) => ({
      ...limits(16),
      ingredients: [{ ingredientId: 'wheat_pollard', minPct: pct, maxPct: pct }],
    })
    const of = { kind: 'limit', row: 'linear:ingredient/wheat_pollard/eq' }
    const found = await curve({ limits: fixedAt(20), of, from: 0, to: 100 })
    expect(found).toMatchObject({ unit: '%', now: 20, exact: true, reason: null, feasibleFrom: 0 })
    // from no pollard to where the pollard left in the mix alone has too little protein
    expect(found.points[0]?.at).toBe(0)
    expect(found.points.length).toBeGreaterThan(1)
    for (const [i, { at, costPerTonne }] of found.points.entries()) {
      expect(await costAt({ limits: fixedAt(at) })).toBeCloseTo(costPerTonne, 1)
      const next = found.points[i + 1]
      if (next === undefined) continue
      const between = at + 0.37 * (next.at - at)
      const line = costPerTonne + 0.37 * (next.costPerTonne - costPerTonne)
      expect(await costAt({ limits: fixedAt(between) }), String(between)).toBeCloseTo(line, 1)
    }
  })

  it('of a limit ends where no mix is left', async () => {
    const found = await curve({ limits: limits(16), of: { kind: 'limit', row: 'nutrient:CP:min' }, from: 16, to: 60 })
    expect(found.feasibleTo).toBeGreaterThan(43)
    expect(found.feasibleTo).toBeLessThan(45)
    expect(found.points.at(-1)?.at).toBeCloseTo(found.feasibleTo ?? 0, 6)
  })

  it('of a price tells the share of the ingredient, which never grows as it gets dearer', async () => {
    const found = await curve({ limits: limits(16), of: { kind: 'price', ingredientId: 'wheat_pollard' }, from: 10, to: 80 })
    expect(found).toMatchObject({ now: 28, exact: true })
    const shares = found.points.map(({ pct }) => pct ?? Number.NaN)
    expect(shares[0]).toBeCloseTo(20, 6)
    expect(shares.at(-1)).toBeCloseTo(0, 6)
    expect(shares).toEqual([...shares].sort((a, b) => b - a))
    // the share is that just above the price, as solving there has it
    for (const { at, pct } of found.points.slice(0, -1)) {
      const mix = await solve({ limits: limits(16), prices: [{ ingredientId: 'wheat_pollard', pricePerKg: (at + 0.001).toFixed(4) }] })
      const there = mix.amounts.filter(({ ingredientId }) => ingredientId === 'wheat_pollard').reduce((sum, one) => sum + one.pct, 0)
      expect(there, String(at)).toBeCloseTo(pct ?? Number.NaN, 4)
    }
  })

  it('refuses a limit that is not there, and an ingredient that is not in store, naming the field', async () => {
    const nutritionist = await mill.as('nutritionist')
    const body = { stage: 'layer_peak', limits: limits(16), from: 1, to: 2 }
    const noRow = await nutritionist.post('/solve/curve', { ...body, of: { kind: 'limit', row: 'nutrient:Ca:min' } })
    expect(noRow.status).toBe(400)
    expect(noRow.problem()).toMatchObject({ errors: [{ path: 'of.row' }] })
    // a misspelt side, the mass of the batch (of which the cost a tonne is asked), and two limits of one value asked as one
    const fixed = { ...limits(16), nutrients: [{ nutrient: 'CP' as const, min: 16, max: 16 }] }
    for (const row of ['batch', 'nutrient:CP:max', 'nutrient:CP:eq', 'linear:ingredient/wheat_pollard/eq', 'nonsense']) {
      const reply = await nutritionist.post('/solve/curve', { ...body, limits: fixed, of: { kind: 'limit', row } })
      expect(reply.status, row).toBe(400)
      expect(reply.problem().errors).toMatchObject([
        {
          path: 'of.row',
          code: 'unknown',
          facts: { row, rows: ['nutrient:CP:min', 'nutrient:CP~worst:max', 'linear:ingredient/wheat_pollard/max'] },
        },
      ])
    }
    const noLot = await nutritionist.post('/solve/curve', { ...body, of: { kind: 'price', ingredientId: 'salt' } })
    expect(noLot.problem()).toMatchObject({ errors: [{ path: 'of.ingredientId' }] })
  })
})

describe('certainty', () => {
  it('costs money, says how sure each limit is, and what holding one at the mean would save', async () => {
    const certain = limitsOf({ nutrients: [{ nutrient: 'CP', min: 16, certainty: 0.95 }] })
    const mix = await solve({ limits: certain })
    const protein = mix.nutrients.find(({ nutrient }) => nutrient === 'CP')
    expect(protein?.value).toBeGreaterThan(16)
    expect(protein?.certainty?.asked).toBe(0.95)
    expect(protein?.certainty?.reached).toBeCloseTo(0.95, 4)
    // mean - z x sd stands at the limit; z of 0.95 is 1.6449 (any table of the normal distribution)
    expect((protein?.value ?? 0) - 1.6449 * (protein?.sd ?? 0)).toBeCloseTo(16, 3)
    const { certainty, ranges, prices, limits: costs } = await explain({ limits: certain })
    expect(ranges).toBe('not-told-under-certainty')
    for (const { used, staysFrom, staysTo, staysKnown } of prices)
      if (used) expect({ staysFrom, staysTo, staysKnown }).toEqual({ staysFrom: null, staysTo: null, staysKnown: false })
    expect(costs.length).toBeGreaterThan(0)
    for (const { to, holdsTo } of costs) expect(holdsTo).toBe(to)
    expect(certainty?.costPerTonne).toBeCloseTo(Number(mix.costPerTonne), 1)
    expect(certainty?.costAtMeanPerTonne).toBeCloseTo(await costAt({ limits: limitsOf({ nutrients: [{ nutrient: 'CP', min: 16 }] }) }), 1)
    expect(certainty?.limits).toMatchObject([{ nutrient: 'CP', side: 'min' }])
    expect(certainty?.limits[0]?.asked).toBeCloseTo(0.95, 9)
    expect(certainty?.limits[0]?.savesPerTonne).toBeCloseTo((certainty?.costPerTonne ?? 0) - (certainty?.costAtMeanPerTonne ?? 0), 6)
    expect(certainty?.limits[0]?.savesPerTonne).toBeGreaterThan(0)
  })
})

describe('limits a bird and day', () => {
  it('are kept at the intake of the mix itself, and told in grams', async () => {
    const birds = { weightKg: 1.75, temperatureC: 22, gainG: 0, eggMassG: 50 }
    const perDay = { birds, limits: [{ nutrient: 'CP', minPerDay: 20 }] }
    const mix = await solve({ limits: { ...limitsOf({ nutrients: [{ nutrient: 'AME', min: 2900 }] }), perDay } })
    const of = (id: string): number => mix.nutrients.find(({ nutrient }) => nutrient === id)?.value ?? Number.NaN
    const reply = await ask('/intake', { stage: undefined, ...birds, ameKcalPerKg: of('AME'), costPerTonne: Number(mix.costPerTonne) })
    const intake = reply.as(IntakeView)
    // NRC 1994 (from memory): about 301 kcal
    expect(intake).toMatchObject({ source: 'NRC1994', read: false })
    expect(intake.energyKcal).toBeCloseTo(301.45, 2)
    expect((of('CP') / 100) * intake.feedG).toBeCloseTo(20, 4)
    expect(intake.costPerBirdDay).toBeCloseTo((intake.feedG * Number(mix.costPerTonne)) / 1e6, 6)
    const protein = ({ limit }: { limit: Record<string, unknown> }) =>
      limit['kind'] === 'per-day' && limit['unit'] === 'g' && limit['value'] === 20
    const cost = mix.limitCosts.find(protein)
    expect(cost).toMatchObject({ from: 20, to: 19 })
    const asked = { limits: { ...limitsOf({ nutrients: [{ nutrient: 'AME', min: 2900 }] }), perDay } }
    const found = await curve({ ...asked, of: { kind: 'limit', row: 'ratio:per-day-CP:min' }, from: 10, to: 60 })
    expect(found).toMatchObject({ unit: 'g', now: 20, exact: true, reason: null })
    expect(found.points.some(({ turns }) => turns)).toBe(true)
    expect(found.points.at(-1)?.at).toBeCloseTo(found.feasibleTo ?? Number.NaN, 5)
    const costOf = (minPerDay: number) =>
      costAt({ limits: { ...asked.limits, perDay: { birds, limits: [{ nutrient: 'CP', minPerDay }] } } })
    for (const [i, { at, costPerTonne }] of found.points.entries()) {
      const next = found.points[i + 1]
      if (next === undefined) continue
      expect(await costOf(at), String(at)).toBeCloseTo(costPerTonne, 1)
      // straight between its points, to a ten-thousandth
      const between = await costOf((at + next.at) / 2)
      expect(Math.abs(between - (costPerTonne + next.costPerTonne) / 2)).toBeLessThan(1e-4 * between)
    }
    const eased = { ...perDay, limits: [{ nutrient: 'CP', minPerDay: 19 }] }
    const cheaper = await costAt({ limits: { ...limitsOf({ nutrients: [{ nutrient: 'AME', min: 2900 }] }), perDay: eased } })
    expect(Number(mix.costPerTonne) - cheaper).toBeCloseTo(cost?.costPerTonneForStep ?? 0, 0)
  })
})

describe('other mixes', () => {
  it('stand beside the cheapest: without an ingredient, with fewer, and the most different within a cost; each keeps the limits', async () => {
    const { mixes } = (await ask('/solve/alternatives', { limits: limits(16), atMost: 2, withinPct: 2, leaveOut: ['wheat_pollard'] })).as(
      AlternativesView,
    )
    expect(mixes.map(({ kind }) => kind)).toEqual(['cheapest', 'without', 'at-most', 'most-different'])
    const [cheapest, without, fewer, different] = mixes
    const cost = (one: (typeof mixes)[number] | undefined): number => Number(one?.mix.costPerTonne)
    expect(cost(cheapest)).toBeCloseTo(await costAt({ limits: limits(16) }), 1)
    expect(cost(without)).toBeCloseTo(await costAt({ limits: limits(16), without: ['wheat_pollard'] }), 1)
    expect(fewer?.mix.amounts.length).toBeLessThanOrEqual(2)
    expect(fewer?.proven).toBe(true)
    expect(cost(different)).toBeLessThanOrEqual(cost(cheapest) * 1.0201)
    expect(different?.movedPct).toBeGreaterThan(0)
    for (const { mix } of mixes) expect(mix.nutrients.find(({ nutrient }) => nutrient === 'CP')?.value).toBeGreaterThan(15.9999)
  })
})

describe('an ingredient to leave out', () => {
  it('that stands twice is refused, naming the second', async () => {
    const body = { stage: 'layer_peak', limits: limits(16), leaveOut: ['wheat_pollard', 'maize_white', 'wheat_pollard'] }
    const reply = await (await mill.as('nutritionist')).post('/solve/alternatives', body)
    expect(reply.status).toBe(400)
    expect(reply.problem()).toMatchObject({ code: 'bad-input', errors: [{ path: 'leaveOut.2', code: 'repeated' }] })
  })
})

describe('the worth of one more result', () => {
  it('is nothing to ask about where every limit is held at the mean', async () => {
    expect((await ask('/solve/assay-worth', { limits: limits(16) })).as(AssayWorthView)).toEqual({ reason: 'no-certainty', tests: [] })
  })

  it('lists the lots whose protein is least sure and counts most, best first, in money for the batch', async () => {
    const certain = { ...limits(16), nutrients: [{ nutrient: 'CP' as const, min: 16, certainty: 0.95 }] }
    const { reason, tests } = (await ask('/solve/assay-worth', { limits: certain })).as(AssayWorthView)
    expect(reason).toBeNull()
    expect(tests.length).toBeGreaterThan(0)
    expect(tests.map(({ worth }) => worth)).toEqual(tests.map(({ worth }) => worth).sort((a, b) => b - a))
    for (const { nutrient, sdNow, worth, worthPerTonne } of tests) {
      expect(nutrient).toBe('CP')
      expect(sdNow).toBeGreaterThan(0)
      // no result is worth more than all certainty costs
      expect(Math.abs(worth)).toBeLessThan((await explain({ limits: certain })).certainty?.costPerTonne ?? 0)
      expect(worthPerTonne).toBeCloseTo(worth, 9)
    }
  })
})
