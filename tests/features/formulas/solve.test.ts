import { beforeAll, describe, expect, it } from 'vitest'
import { MixView } from '#contract/formulas'
import { loadMixLotsById } from '#features/lots/lots-for-mix'
import { prepareMill } from '../../support/builders/mill.js'
import { makeLot, type BuiltLot } from '../../support/builders/lots.js'
import { limitsOf } from '../../support/builders/formulas.js'
import { dayFromNow } from '../../support/builders/days.js'
import { openMill } from '../../support/mill.js'

const mill = await openMill()
const lots: { [ingredientId: string]: BuiltLot } = {}
const FEEDS = [
  ['maize_white', '40.0000', 8.23],
  ['soybean_meal_44', '95.0000', 45],
  ['fish_meal_local_50', '150.0000', 55],
  ['maize_bran_low_fibre', '28.0000', 7],
] as const
beforeAll(async () => {
  await prepareMill(mill.db, { jurisdiction: 'EU' })
  for (const [ingredientId, pricePerKg, protein] of FEEDS) {
    lots[ingredientId] = await makeLot(mill.db, {
      ingredientId,
      pricePerKg,
      netKg: '5000.000',
      assays: { CP: protein, moisture: ingredientId.startsWith('fish') ? 9 : 12 },
    })
  }
  lots['limestone'] = await makeLot(mill.db, { ingredientId: 'limestone', pricePerKg: '12.0000', netKg: '5000.000' })
})

const solve = async (body: object): Promise<MixView> => {
  const reply = await (await mill.as('nutritionist')).post('/solve', { stage: 'layer_peak', ...body })
  expect(reply.status, reply.text).toBe(200)
  return reply.as(MixView)
}
const kgOf = (mix: MixView, ingredientId: string): number =>
  mix.amounts.filter((amount) => amount.ingredientId === ingredientId).reduce((sum, { kg }) => sum + Number(kg), 0)
const believedProtein = async (ingredientId: string): Promise<number> => {
  const [lot] = await loadMixLotsById(mill.db, [lots[ingredientId]?.id ?? ''])
  return lot?.composition.values.CP.value ?? expect.fail(`no protein of ${ingredientId}`)
}
const only = (...ingredientIds: string[]) =>
  Object.keys(lots)
    .filter((id) => !ingredientIds.includes(id))
    .map((ingredientId) => ({ ingredientId, maxPct: 0 }))

describe('solving limits without keeping them', () => {
  // Common practice, no source: the parts are the differences to 18. The exact figures of the square (26.6 and 73.4 kg from 45 and 8.23 %)
  // and of the 70 kg mix (13.3 kg, 19.0 %) are in tests/core/formulation/mix-problem.test.ts; here stands what is believed of the lots.
  it('mixes two feeds of about 45 % and 8.23 % protein to 18 % as the square has it', async () => {
    const [soya, maize] = [await believedProtein('soybean_meal_44'), await believedProtein('maize_white')]
    expect(soya).toBeCloseTo(45, 0)
    expect(maize).toBeCloseTo(8.23, 0)
    const limits = limitsOf({ nutrients: [{ nutrient: 'CP', min: 18 }], ingredients: only('maize_white', 'soybean_meal_44') })
    const mix = await solve({ limits, batchKg: '100' })
    expect(mix.kind).toBe('optimal')
    const soyaKg = (100 * (18 - maize)) / (soya - maize)
    expect(kgOf(mix, 'soybean_meal_44')).toBeCloseTo(soyaKg, 2)
    expect(kgOf(mix, 'maize_white')).toBeCloseTo(100 - soyaKg, 2)
    expect(mix.amounts.map(({ ingredientId }) => ingredientId)).toEqual(['maize_white', 'soybean_meal_44'])
    const protein = mix.nutrients.find(({ nutrient }) => nutrient === 'CP')
    expect(protein).toMatchObject({ state: 'at-min', knownBy: 'measured', weakShare: 0, unknownPct: 0 })
    // one step of 0.1 % moves 0.1 / (difference) of the feed from soya to maize, at 55 a kilogram between them
    expect(mix.limitCosts.find(({ row }) => row === 'nutrient:CP:min')).toMatchObject({ from: 18, to: 17.9, unit: '%' })
    expect(mix.limitCosts.find(({ row }) => row === 'nutrient:CP:min')?.costPerTonneForStep).toBeCloseTo(
      (1000 * 55 * 0.1) / (soya - maize),
      6,
    )
  })

  it('weighs the protein of a 70 kg mix by its lots, and 140 kg takes exactly twice as much (arithmetic only, never a recipe)', async () => {
    const shares = { maize_white: 34, soybean_meal_44: 12, fish_meal_local_50: 8, maize_bran_low_fibre: 10 }
    const ingredients = Object.entries(shares).map(([ingredientId, kg]) => ({
      ingredientId,
      minPct: (100 * kg) / 70,
      maxPct: (100 * kg) / 70,
    }))
    const limits = limitsOf({ nutrients: [{ nutrient: 'CP', min: 10 }], ingredients })
    const [one, two] = [await solve({ limits, batchKg: '70' }), await solve({ limits, batchKg: '140' })]
    const protein = one.nutrients.find(({ nutrient }) => nutrient === 'CP')?.value ?? 0
    let byHand = 0
    for (const [ingredientId, kg] of Object.entries(shares)) byHand += (kg * (await believedProtein(ingredientId))) / 100
    expect((protein / 100) * 70).toBeCloseTo(byHand, 6)
    // what the laboratory found would be 13.3 kg
    expect(byHand).toBeCloseTo(13.3, 0)
    expect(kgOf(one, 'limestone')).toBe(6)
    for (const { ingredientId } of one.amounts) expect(kgOf(two, ingredientId)).toBe(2 * kgOf(one, ingredientId))
    expect(Number(two.costTotal)).toBeCloseTo(2 * Number(one.costTotal), 2)
  })

  it("leaves a premix that says nothing of medicine out of hens' feed and takes another", async () => {
    const premix = (pricePerKg: string, medicationDeclared: boolean) =>
      makeLot(mill.db, { ingredientId: 'premix_generic', pricePerKg, medicationDeclared })
    const silent = await premix('100.0000', false)
    const spoken = await premix('300.0000', true)
    const limits = limitsOf({ ingredients: [...only('maize_white'), { ingredientId: 'premix_generic', minPct: 1, maxPct: 1 }] })
    const takes = (mix: MixView) => mix.amounts.filter(({ ingredientId }) => ingredientId === 'premix_generic').map(({ lotId }) => lotId)
    const forHens = await solve({ stage: 'layer_peak', limits, batchKg: '100' })
    expect(takes(forHens)).toEqual([spoken.id])
    expect(forHens.leftOut).toEqual([expect.objectContaining({ lotId: silent.id, reason: 'medicine-not-declared' })])
    expect(takes(await solve({ stage: 'broiler_starter_0_3wk', limits, batchKg: '100' }))).toEqual([silent.id])
    await mill.db.lot.updateMany({ where: { id: { in: [silent.id, spoken.id] } }, data: { status: 'rejected' } })
  })

  it('passes over a released lot from the moment a late test condemns it, says why, and keeps the discrepancy', async () => {
    const germ = (pricePerKg: string) =>
      makeLot(mill.db, { ingredientId: 'maize_germ', pricePerKg, assays: { CP: 12, moisture: 10, aflatoxin_total: 2, aflatoxin_B1: 1 } })
    const [cheap, sound] = [await germ('20.0000'), await germ('30.0000')]
    const limits = limitsOf({ ingredients: [...only('maize_white'), { ingredientId: 'maize_germ', minPct: 10, maxPct: 10 }] })
    const taken = (mix: MixView) => mix.amounts.filter(({ ingredientId }) => ingredientId === 'maize_germ').map(({ lotId }) => lotId)
    const before = await solve({ limits, batchKg: '100' })
    expect(taken(before)).toEqual([cheap.id])
    const late = { analyte: 'aflatoxin_total', value: 60, unit: 'ug/kg', method: 'strip', confirmed: true }
    const sheet = { laboratory: 'Test laboratory', results: [{ ...late, measuredOn: dayFromNow(0) }] }
    const recorded = await (await mill.as('laboratory')).post(`/lots/${cheap.id}/assays`, sheet)
    expect(recorded.status, recorded.text).toBe(201)
    const after = await solve({ limits, batchKg: '100' })
    expect(taken(after)).toEqual([sound.id])
    expect(after.leftOut).toEqual([expect.objectContaining({ lotId: cheap.id, lotNumber: cheap.number, reason: 'fails-check' })])
    expect(after.leftOut[0]?.finding).toMatchObject({
      severity: 'block',
      what: { code: 'above-limit', facts: { item: 'total aflatoxins' } },
    })
    expect(await mill.db.discrepancy.count({ where: { lotId: cheap.id, kind: 'released-lot-fails' } })).toBe(1)
    expect((await mill.db.lot.findUniqueOrThrow({ where: { id: cheap.id } })).status).toBe('released')
    await mill.db.lot.updateMany({ where: { id: { in: [cheap.id, sound.id] } }, data: { status: 'rejected' } })
  })

  // From memory: salinomycin premix of 12 % at 500 g a tonne is 60 mg/kg, and 35 g in 70 kg
  it('works out the share of a medicated premix from its strength, and lets no other medicine in', async () => {
    const premix = await makeLot(mill.db, {
      ingredientId: 'premix_generic',
      pricePerKg: '900.0000',
      netKg: '25.000',
      medication: { active: 'salinomycin sodium', strengthPct: 12 },
    })
    const other = await makeLot(mill.db, {
      ingredientId: 'premix_generic',
      pricePerKg: '1.0000',
      netKg: '25.000',
      medication: { active: 'monensin sodium', strengthPct: 20 },
    })
    const medication = { active: 'salinomycin sodium', mgPerKg: 60, ingredientId: 'premix_generic' }
    const limits = limitsOf({ nutrients: [{ nutrient: 'CP', min: 18 }] })
    const mix = await solve({ stage: 'broiler_starter_0_3wk', limits, medication, batchKg: '70' })
    expect(mix.amounts.find(({ lotId }) => lotId === premix.id)?.kg).toBe('0.035')
    expect(mix.leftOut).toContainEqual({
      lotId: other.id,
      lotNumber: other.number,
      ingredientId: 'premix_generic',
      nutrient: '',
      reason: 'medicine',
      finding: null,
    })
    expect(mix.findings.filter(({ topic, severity }) => severity === 'block' && /medic|coccidiostat/.test(topic))).toEqual([])
    expect(mix.findings.find(({ ruleId }) => ruleId === 'MEDICINE-DOSE')).toMatchObject({ severity: 'pass', found: { unit: 'mg/kg' } })
    const plain = await solve({ stage: 'broiler_starter_0_3wk', limits, batchKg: '70' })
    expect(plain.amounts.some(({ lotId }) => lotId === premix.id || lotId === other.id)).toBe(false)
  })

  it('answers that no mix is possible with the limits that conflict, as values', async () => {
    const mix = await solve({
      limits: limitsOf({
        nutrients: [
          { nutrient: 'CP', min: 54 },
          { nutrient: 'Ca', max: 0.1 },
        ],
      }),
      batchKg: '100',
    })
    expect(mix).toMatchObject({ kind: 'infeasible', amounts: [], costTotal: null })
    expect(mix.conflict.map(({ limit }) => limit['kind'])).toContain('nutrient')
    expect(mix.conflict.find(({ row }) => row === 'nutrient:CP:min')?.limit).toMatchObject({
      nutrient: 'CP',
      side: 'min',
      value: 54,
      unit: '%',
    })
  })

  it('names the price at which an unused lot would enter', async () => {
    const mix = await solve({ limits: limitsOf({ nutrients: [{ nutrient: 'CP', min: 18 }] }), batchKg: '100' })
    const unused = mix.notUsed.find(({ ingredientId }) => ingredientId === 'maize_white')
    expect(Number(unused?.breakEvenPricePerKg)).toBeGreaterThan(0)
    expect(Number(unused?.breakEvenPricePerKg)).toBeLessThan(40)
  })

  it('shows what lots on hold would bring only when asked, and marks them as not released', async () => {
    const held = await makeLot(mill.db, { ingredientId: 'sorghum_low_tannin', pricePerKg: '1.0000', status: 'on-hold', assays: { CP: 10 } })
    const body = { limits: limitsOf({ nutrients: [{ nutrient: 'CP', min: 9 }] }), batchKg: '100' }
    expect((await solve(body)).amounts.some(({ lotId }) => lotId === held.id)).toBe(false)
    const mix = await solve({ ...body, lots: 'in-store' })
    expect(mix.amounts[0]?.lotId).toBe(held.id)
    expect(mix.findings.find(({ ruleId }) => ruleId === 'LOT-STATUS')).toMatchObject({ severity: 'block' })
  })

  it('refuses nonsense and other roles, and keeps nothing', async () => {
    const before = await mill.db.auditEntry.count()
    const agent = await mill.as('nutritionist')
    const limits = limitsOf({ nutrients: [{ nutrient: 'CP', min: 18 }] })
    for (const batchKg of ['0', '-5', 'much', '1e9', 100]) {
      const reply = await agent.post('/solve', { stage: 'layer_peak', limits, batchKg })
      expect(reply.status).toBe(400)
      expect(reply.problem().errors?.[0]?.path).toBe('batchKg')
    }
    const unknown = await agent.post('/solve', { stage: 'moon_hen', limits, batchKg: '100' })
    expect(unknown.problem()).toMatchObject({ code: 'bad-input', errors: [{ path: 'stage', code: 'unknown' }] })
    const ratios = [{ id: 'itself', numerator: 'Lys', denominator: 'Lys', min: 1 }]
    const circular = await agent.post('/solve', { stage: 'layer_peak', limits: { ...limits, ratios }, batchKg: '100' })
    expect(circular.problem()).toMatchObject({ code: 'bad-input', errors: [{ path: 'limits.ratios.0.denominator' }] })
    expect((await (await mill.as('member')).post('/solve', { stage: 'layer_peak', limits })).problem().code).toBe('not-allowed')
    expect(await mill.db.auditEntry.count()).toBe(before)
  })
})
