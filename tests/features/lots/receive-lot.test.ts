import { beforeAll, describe, expect, it } from 'vitest'
import { LotDetailView, LotView } from '#contract/lots'
import { balanceOf } from '../../support/builders/lots.js'
import { prepareMill } from '../../support/builders/mill.js'
import { makeSupplier } from '../../support/builders/suppliers.js'
import { openMill } from '../../support/mill.js'

const mill = await openMill()
let supplierId = ''
beforeAll(async () => {
  await prepareMill(mill.db)
  supplierId = (await makeSupplier(mill.db)).id
})
const delivery = (facts: object = {}) => ({
  ingredientId: 'maize_white',
  supplierId,
  receivedAt: '2026-11-20T07:30:00+03:00',
  bags: 22,
  netKg: '1980.5',
  pricePerKg: '41.25',
  intakeMoisturePct: 13.1,
  deliveryNote: 'DN 17',
  storagePlace: 'A1',
  ...facts,
})
const counts = async () => ({ lots: await mill.db.lot.count(), transfers: await mill.db.stockTransfer.count() })

describe('receiving a lot', () => {
  it('puts it on hold, in the ledger, with the shelf life of the ingredient', async () => {
    const store = await mill.as('store-keeper')
    const reply = await store.post('/lots', delivery())
    expect(reply.status).toBe(201)
    const lot = reply.as(LotView)
    expect(lot).toMatchObject({
      status: 'on-hold',
      netKg: '1980.500',
      onHandKg: '1980.500',
      reservedKg: '0.000',
      pricePerKg: '41.2500',
      moisturePct: 13.1,
      proteinPct: null,
      revision: 1,
      receivedAt: '2026-11-20T04:30:00.000Z',
      // mill_practice.csv STO-06, whole maize 6-12 months: 180 days from 20 November 2026
      expiresOn: '2027-05-19',
    })
    expect(await balanceOf(mill.db, lot.id)).toEqual({ onHandKg: '1980.500', reservedKg: '0.000', status: 'on-hold' })
    const audit = await mill.db.auditEntry.findFirstOrThrow({ where: { entityId: lot.id } })
    expect(audit.action).toBe('lot.received')
  })

  it('moves all book values by the moisture at intake', async () => {
    const agent = await mill.as('manager')
    const lot = (await agent.post('/lots', delivery({ intakeMoisturePct: 20 }))).as(LotView)
    const detail = (await agent.get(`/lots/${lot.id}`)).as(LotDetailView)
    const dryMatter = detail.composition.find(({ nutrient }) => nutrient === 'DM')
    const protein = detail.composition.find(({ nutrient }) => nutrient === 'CP')
    expect(dryMatter).toMatchObject({ value: 80, knownBy: 'measured' })
    expect(protein?.value).toBeCloseTo(((protein?.bookValue ?? 0) * 80) / (dryMatter?.bookValue ?? 1), 6)
    expect(protein?.steps.map(({ code }) => code)).toContain('follows-dry-matter')
  })

  it('takes the date of the label before the shelf life, and the declared medicine', async () => {
    const medication = { active: 'salinomycin sodium', strengthPct: 12 }
    const body = delivery({ ingredientId: 'premix_generic', expiresOn: '2026-12-31', medicationDeclared: true, medication })
    const lot = (await (await mill.as('store-keeper')).post('/lots', body)).as(LotView)
    expect(lot).toMatchObject({ expiresOn: '2026-12-31', medicationDeclared: true, medication })
  })

  it('takes the most that one delivery can be, and names every wrong field at once', async () => {
    const store = await mill.as('store-keeper')
    expect((await store.post('/lots', delivery({ netKg: '100000' }))).status).toBe(201)
    const { errors } = (await store.post('/lots', delivery({ netKg: '100001', expiresOn: '2020-01-01' }))).problem()
    expect(errors?.map(({ path, code }) => [path, code])).toEqual([
      ['netKg', 'above-possible'],
      ['expiresOn', 'before-delivery'],
    ])
  })

  it('has the same effect once under the same key', async () => {
    const store = await mill.as('store-keeper')
    const key = 'delivery-0001'
    const [first, second] = [await store.post('/lots', delivery(), { key }), await store.post('/lots', delivery(), { key })]
    expect(second.text).toBe(first.text)
    expect((await store.post('/lots', delivery({ netKg: '1' }), { key })).problem().code).toBe('idempotency-key-reused')
    expect(await mill.db.stockEntry.count({ where: { lotId: first.as(LotView).id } })).toBe(2)
  })

  it.each([
    ['no kilograms', { netKg: '0' }, 'bad-input', 'netKg'],
    ['negative kilograms', { netKg: '-5' }, 'bad-input', 'netKg'],
    ['absurd kilograms', { netKg: '1e9' }, 'bad-input', 'netKg'],
    ['kilograms in words', { netKg: 'twenty' }, 'bad-input', 'netKg'],
    ['grams of grams', { netKg: '10.0001' }, 'bad-input', 'netKg'],
    ['a number where kilograms are text', { netKg: 20 }, 'bad-input', 'netKg'],
    ['a negative price', { pricePerKg: '-1' }, 'bad-input', 'pricePerKg'],
    ['a moisture of 450 %', { intakeMoisturePct: 450 }, 'bad-input', 'intakeMoisturePct'],
    ['half a bag', { bags: 1.5 }, 'bad-input', 'bags'],
    ['a day that is none', { expiresOn: '2026-02-30' }, 'bad-input', 'expiresOn'],
    ['a moment still to come', { receivedAt: '2031-01-01T00:00:00Z' }, 'bad-input', 'receivedAt'],
    ['a delivery of three years ago', { receivedAt: '2023-11-20T07:30:00+03:00' }, 'bad-input', 'receivedAt'],
    ['more than 100 tonnes', { netKg: '100000.001' }, 'bad-input', 'netKg'],
    ['a lot that expired before it came', { expiresOn: '2026-11-19' }, 'bad-input', 'expiresOn'],
    ['a date more than ten years ahead', { expiresOn: '2036-11-21' }, 'bad-input', 'expiresOn'],
    ['an unknown ingredient', { ingredientId: 'moon_dust' }, 'ingredient-unknown', 'ingredientId'],
    ['an unknown supplier', { supplierId: '0197a3b2-0000-7000-8000-000000000000' }, 'supplier-unknown', 'supplierId'],
    ['medicine that no label declares', { medication: { active: 'x', strengthPct: 1 } }, 'bad-input', 'medicationDeclared'],
    ['a misspelt field', { netkg: '5' }, 'bad-input', 'netkg'],
  ])('refuses %s, says which field, and writes nothing', async (_what, facts, code, path) => {
    const before = await counts()
    const reply = await (await mill.as('manager')).post('/lots', delivery(facts))
    expect(reply.status).toBeGreaterThanOrEqual(400)
    expect(reply.status).toBeLessThan(500)
    expect(reply.problem().code).toBe(code)
    expect(reply.problem().errors?.map((error) => error.path)).toContain(path)
    expect(await counts()).toEqual(before)
  })

  it.each([['laboratory'], ['mixer-operator'], ['counter-clerk'], ['nutritionist'], ['member']] as const)(
    'is not for a %s',
    async (role) => {
      const before = await counts()
      expect((await (await mill.as(role)).post('/lots', delivery())).status).toBe(403)
      expect(await counts()).toEqual(before)
    },
  )
})
