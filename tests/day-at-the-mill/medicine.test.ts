import { describe, expect, test } from 'vitest'
import { FindingView } from '#contract/findings'
import { OfferView, OrderView } from '#contract/orders'
import { BatchSheetView } from '#contract/production'
import { StockProofView } from '#contract/stock'
import type { Reply } from '../support/agent.js'
import { makeFlock } from '../support/builders/members.js'
import { prepareMill } from '../support/builders/mill.js'
import { makeMixer } from '../support/builders/orders.js'
import { tablesOf } from '../support/heads.js'
import { openMill } from '../support/mill.js'
import { addSupplier, DELIVERIES, stockTheStore } from './deliveries.js'
import { approvedFeed, done, mix, order, plannedLoads, start } from './feeds.js'

const PREMIX = 'salinomycin_premix'
const ACTIVE = 'salinomycin sodium'

const mill = await openMill()
await prepareMill(mill.db, { jurisdiction: 'EU' })
await makeMixer(mill.db)
const manager = await mill.as('manager')
const nutritionist = await mill.as('nutritionist')
const clerk = await mill.as('counter-clerk')
const mixer = await mill.as('mixer-operator')
const people = { manager, nutritionist, clerk, store: await mill.as('store-keeper'), laboratory: await mill.as('laboratory') }

/** The reference tables have no bought medicine; at half a kilogram a tonne no credit is taken for its carrier. */
const addMedicine = async (): Promise<void> => {
  const names = { nameEn: 'Salinomycin premix', nameSw: 'Premiksi ya salinomycin' }
  await mill.db.ingredient.create({ data: { id: PREMIX, ...names, category: 'premix', pictogram: 'pill', qualityRisk: '' } })
  const carrier = await mill.db.ingredientValue.findMany({ where: { ingredientId: 'premix_generic' } })
  await mill.db.ingredientValue.createMany({
    data: carrier.map(({ nutrient, unit }) => ({
      ingredientId: PREMIX,
      nutrient,
      unit,
      value: 0,
      knownBy: 'structural-zero',
      source: 'demo',
      note: 'no credit is taken for the carrier',
    })),
  })
}
await addMedicine()
// From memory: 500 g of a premix of 12 % in a tonne are 60 mg/kg.
const medicine = { ingredientId: PREMIX, netKg: '25', pricePerKg: '1450', medication: { active: ACTIVE, strengthPct: 12 } } as const
const lots = await stockTheStore(people, await addSupplier(people.store, 'Nuru Premix'), [...DELIVERIES, medicine])

const layerMash = await approvedFeed(people, { nameEn: 'Layer mash', stage: 'layer_peak' })
const medication = { active: ACTIVE, mgPerKg: 60, ingredientId: PREMIX }
const starter = await approvedFeed(people, { nameEn: 'Medicated starter', stage: 'broiler_starter_0_3wk', medication })
const plainGrower = await approvedFeed(people, { nameEn: 'Broiler grower', stage: 'broiler_grower_3_6wk' })

const hens = await makeFlock(mill.db, { ageWeeks: 30 })
const pullets = await makeFlock(mill.db, { ageWeeks: 8, laying: false })
const chicks = await makeFlock(mill.db, { flockType: 'broiler', ageWeeks: 1, laying: false })
const growers = await makeFlock(mill.db, { flockType: 'broiler', ageWeeks: 4, laying: false })

const findings = (reply: Reply): FindingView[] => FindingView.array().parse(reply.problem().facts?.['findings'])
const blocked = async (work: () => Promise<Reply>): Promise<FindingView[]> => {
  const before = await tablesOf(mill.sql)
  const reply = await work()
  expect([reply.status, reply.problem().code]).toEqual([422, 'safety-block'])
  expect(await tablesOf(mill.sql)).toEqual(before)
  const found = findings(reply)
  for (const { ruleId, severity, source } of found) {
    expect([ruleId, source.key].every((text) => text !== '')).toBe(true)
    expect(severity).toBe('block')
  }
  return found
}

describe('calcium', () => {
  test('layer feed for a flock of 8 weeks is blocked with the rule and its source', async () => {
    const found = await blocked(() => order(clerk, { flockId: pullets.id, formulaVersionId: layerMash.id, kg: '200' }))
    // Rules CA-02 (calcium above 1.5 % for growing birds) and CA-09 (weeks before the first egg) of seed/reference/safety_rules.csv
    const rule = found.find(({ ruleId }) => ruleId === 'CA-02')
    expect(rule).toMatchObject({ severity: 'block', limit: { value: 1.5, unit: '%', side: 'max' }, source: { jurisdiction: 'any' } })
    expect(rule?.source.key).not.toBe('')
  })
})

describe('medicine', () => {
  test('is not for laying hens: the order is blocked with the rule and its source', async () => {
    const found = await blocked(() => order(clerk, { flockId: hens.id, formulaVersionId: starter.id, kg: '200' }))
    // Rule COC-GEN-01 of seed/reference/safety_rules.csv
    const rule = found.find(({ what }) => what.code === 'not-for-laying-hens')
    expect(rule).toMatchObject({ ruleId: 'COC-GEN-01', severity: 'block', source: { key: 'CFR558_ALL', read: true, jurisdiction: 'any' } })
    const [offer] = (await clerk.get('/offers', { memberId: hens.memberId })).as(OfferView.array())
    const offered = offer?.feeds.find(({ formulaVersionId }) => formulaVersionId === starter.id)
    expect(offered).toMatchObject({ medicated: true, proposed: false })
    expect(offered?.findings.some(({ severity }) => severity === 'block')).toBe(true)
  })

  test('is not in any feed without it, though it is in store', async () => {
    const [load] = await plannedLoads(people, { flockId: growers.id, formulaVersionId: plainGrower.id, kg: '100' })
    expect(load?.lines.map(({ ingredientId }) => ingredientId)).not.toContain(PREMIX)
  })

  test('for broilers is made at 60 mg/kg, hens come after a flush and a load without medicine', async () => {
    const [medicated] = await plannedLoads(people, { flockId: chicks.id, formulaVersionId: starter.id, kg: '300' })
    const [forHens] = await plannedLoads(people, { flockId: hens.id, formulaVersionId: layerMash.id, kg: '300' })
    const [between] = await plannedLoads(people, { flockId: growers.id, formulaVersionId: plainGrower.id, kg: '200' })
    if (medicated === undefined || forHens === undefined || between === undefined) throw new Error('an order was not divided into loads')
    const dose = medicated.lines.filter(({ ingredientId }) => ingredientId === PREMIX)
    // From memory: 500 g a tonne, so 150 g in 300 kg; 12 % of it is 18 g, that is 60 mg in each kilogram.
    expect(dose.map(({ targetKg, part, scale }) => [targetKg, part, scale])).toEqual([['0.150', 'pre-blend', 'table']])
    expect((Number(dose[0]?.targetKg) * 0.12 * 1e6) / 300).toBeCloseTo(60, 9)
    const sheet = done(await mixer.get(`/batches/${medicated.id}/sheet`, { language: 'en' })).as(BatchSheetView)
    expect(sheet.medicine.medicated).toBe(true)
    expect(sheet.medicine.text).toMatch(/salinomycin/i)

    expect(await mix(mixer, medicated)).toMatchObject({ status: 'done', medication: { active: ACTIVE, mgPerKg: 60 } })
    const premix = lots.get(PREMIX)
    const { onHandKg } = await mill.db.lot.findUniqueOrThrow({ where: { id: premix?.id ?? '' } })
    expect(onHandKg.toFixed(3)).toBe('24.850')

    expect((await blocked(() => start(mixer, forHens))).map(({ topic }) => topic)).toContain('carry-over')
    // A flush alone is not enough, and a load without medicine needs the flush before it.
    await blocked(() => start(mixer, forHens, true))
    expect(await mix(mixer, between, true)).toMatchObject({ status: 'done', medication: null })
    expect(await mix(mixer, forHens)).toMatchObject({ status: 'done' })

    const placed = (await clerk.get('/orders', { flockId: hens.id })).as(OrderView.array())
    expect(placed.map(({ status }) => status)).toEqual(['ready'])
    const proof = done(await manager.get('/stock-proof')).as(StockProofView)
    expect(proof).toMatchObject({ whole: true, auditBrokenAt: null })
  })
})
