import { beforeAll, describe, expect, it } from 'vitest'
import { z } from 'zod'
import { LotDetailView } from '#contract/lots'
import { SupplierIngredientView, SupplierRecordView } from '#contract/suppliers'
import { loadKnowledge } from '#features/lots/load-beliefs'
import { newId } from '#platform/new-id'
import { makeLot } from '../../support/builders/lots.js'
import { prepareMill } from '../../support/builders/mill.js'
import { makeSupplier } from '../../support/builders/suppliers.js'
import { openMill } from '../../support/mill.js'

const mill = await openMill()
beforeAll(() => prepareMill(mill.db))

const DAY_MS = 86_400_000
const daysAgo = (days: number): Date => new Date(Date.now() - days * DAY_MS)
const recordOf = async (supplierId: string, ingredientId = 'maize_white') =>
  (await (await mill.as('manager')).get(`/suppliers/${supplierId}/record`, { ingredientId })).as(SupplierRecordView)

/** Lots of one supplier, a day apart, the last one yesterday. */
const deliver = async (supplierId: string, moistures: readonly number[], more: { readonly [analyte: string]: number } = {}) => {
  const lots = []
  for (const [index, moisture] of moistures.entries()) {
    lots.push(await makeLot(mill.db, { supplierId, receivedAt: daysAgo(moistures.length - index), assays: { moisture, ...more } }))
  }
  return lots
}

describe('the record of a supplier', () => {
  it('names the lot outside what is usual of the supplier', async () => {
    const supplierId = (await makeSupplier(mill.db)).id
    // The lots of tests/core/quality/control-chart.test.ts, by hand: neighbours lie 0.8 points apart in the mean.
    const lots = await deliver(supplierId, [13, 13.2, 13, 13.2, 16.1, 13.2, 13, 13.2, 13, 13.2])
    const { moisture, protein, points } = await recordOf(supplierId)
    expect(moisture).toMatchObject({ lots: 10, mean: expect.closeTo(13.41, 8), outside: [lots[4]?.number] })
    expect(moisture.range?.high).toBeCloseTo(13.41 + (3 / 1.128) * 0.8, 6)
    expect(protein).toMatchObject({ lots: 0, mean: null, sd: null, range: null, outside: [] })
    expect(points.map(({ number }) => number)).toEqual(lots.map(({ number }) => number))
    expect(points[0]?.protein).toEqual({ value: null, measured: null, leftOut: 'no-result' })
  })

  it('stands in the order of delivery, not of the lot numbers', async () => {
    const supplierId = (await makeSupplier(mill.db)).id
    const late = await makeLot(mill.db, { supplierId, receivedAt: daysAgo(2) })
    const early = await makeLot(mill.db, { supplierId, receivedAt: daysAgo(9) })
    expect((await recordOf(supplierId)).points.map(({ number }) => number)).toEqual([early.number, late.number])
  })

  it('draws no usual range under eight lots', async () => {
    const supplierId = (await makeSupplier(mill.db)).id
    await deliver(supplierId, [13, 13.2, 13, 18, 13, 13.2, 13])
    expect((await recordOf(supplierId)).moisture).toMatchObject({ lots: 7, range: null, outside: [], sd: expect.any(Number) })
  })

  it('has the mean from which the next lot of this supplier will be believed, corrected results left out', async () => {
    const supplierId = (await makeSupplier(mill.db)).id
    for (const [CP, moisture] of [
      [9.4, 12],
      [9.5, 13],
      [9.7, 14],
    ] as const)
      await makeLot(mill.db, { supplierId, assays: { CP, moisture } })
    const mistyped = await makeLot(mill.db, { supplierId, assays: { CP: 4.9 } })
    const wrong = await mill.db.assay.findFirstOrThrow({ where: { lotId: mistyped.id } })
    await mill.db.assay.create({ data: { ...wrong, id: newId(), value: 9.6, supersedesId: wrong.id } })

    const record = await recordOf(supplierId)
    const next = await makeLot(mill.db, { supplierId })
    const { composition } = (await (await mill.as('nutritionist')).get(`/lots/${next.id}`)).as(LotDetailView)
    expect(record.nextLot).toEqual(composition.find(({ nutrient }) => nutrient === 'CP'))
    const step = record.nextLot.steps.find(({ code }) => code === 'supplier-record')
    expect(step?.facts).toMatchObject({ lots: 4, mean: record.recordMean?.mean })
    expect(record.protein).toMatchObject({ lots: 4, mean: expect.closeTo(record.recordMean?.mean ?? 0, 10) })
  })

  it('is the same whether the next lot is asked for alone or with older ones, as a mix does', async () => {
    const supplierId = (await makeSupplier(mill.db)).id
    const lots = []
    // Twenty lots without a protein result stand between the old ones and the newest: the old ones are past the last twenty.
    for (let lot = 0; lot < 25; lot += 1) lots.push(await makeLot(mill.db, { supplierId, assays: lot < 4 ? { CP: 7 } : {} }))
    const tested = await makeLot(mill.db, { supplierId, assays: { CP: 9 } })
    const next = await makeLot(mill.db, { supplierId })
    const recordIn = async (asked: readonly { id: string; number: number; supplierId: string; ingredientId: string }[]) =>
      (await loadKnowledge(mill.db, asked)).get(next.id)?.supplierRecord?.means.CP
    expect(await recordIn([next])).toEqual({ mean: 9, lots: 1 })
    expect(await recordIn([...lots, tested, next])).toEqual({ mean: 9, lots: 1 })
    expect(await recordOf(supplierId)).toMatchObject({ recordMean: { mean: 9, lots: 1 }, protein: { lots: 5 } })
  })

  it('counts no protein below detection and none that urea may have made', async () => {
    const supplierId = (await makeSupplier(mill.db)).id
    const cake = { supplierId, ingredientId: 'soybean_cake_expeller' }
    await makeLot(mill.db, { ...cake, receivedAt: daysAgo(3), assays: { CP: 43 } })
    await makeLot(mill.db, { ...cake, receivedAt: daysAgo(2), assays: { CP: 44, urea: 0 } })
    const faint = await makeLot(mill.db, { ...cake, receivedAt: daysAgo(1), assays: { CP: 40, urea: 0 } })
    const result = await mill.db.assay.findFirstOrThrow({ where: { lotId: faint.id, analyte: 'CP' } })
    await mill.db.assay.create({ data: { ...result, id: newId(), value: 0.5, belowDetection: true, supersedesId: result.id } })
    const { points, protein } = await recordOf(supplierId, cake.ingredientId)
    expect(points.map(({ protein: { leftOut } }) => leftOut)).toEqual(['urea', null, 'below-detection'])
    expect(protein).toMatchObject({ lots: 1, mean: 44 })
  })

  it('prices protein by what was paid for lots that were kept, and digestible protein by the reference', async () => {
    const supplierId = (await makeSupplier(mill.db)).id
    const cake = { supplierId, ingredientId: 'soybean_cake_expeller' }
    await makeLot(mill.db, { ...cake, netKg: '1000', pricePerKg: '90', assays: { CP: 40, urea: 0 } })
    await makeLot(mill.db, { ...cake, netKg: '3000', pricePerKg: '100', assays: { CP: 45, urea: 0 } })
    await makeLot(mill.db, { ...cake, netKg: '3000', pricePerKg: '10', status: 'rejected', assays: { CP: 45, urea: 0 } })
    const { price } = await recordOf(supplierId, cake.ingredientId)
    // 390,000 by 1,750 kg of protein, and the share of tests/core/quality/protein-price.test.ts by hand.
    expect(price).toMatchObject({ lots: 2, perKgCrudeProtein: '222.86', digestible: { knownBy: 'book' } })
    expect(price?.digestible?.sharePct).toBeCloseTo(90.1526, 3)
    expect(Number(price?.digestible?.perKg)).toBeCloseTo(222.857 / ((price?.digestible?.sharePct ?? 0) / 100), 2)
  })

  it('tells short weights from the delivery notes that had kilograms, rejected lots too', async () => {
    const supplierId = (await makeSupplier(mill.db)).id
    await makeLot(mill.db, { supplierId, netKg: '985', noteKg: '1000' })
    await makeLot(mill.db, { supplierId, netKg: '1802.5', noteKg: '1800', status: 'rejected' })
    await makeLot(mill.db, { supplierId, netKg: '700' })
    const { shortWeights, points } = await recordOf(supplierId)
    // 985 - 1,000 and 1,802.5 - 1,800 by hand
    expect(shortWeights).toEqual({ lots: 2, shortLots: 1, notedKg: '2800.000', differenceKg: '-12.500' })
    expect(points.map(({ noteKg }) => noteKg).toSorted()).toEqual(['1000.000', '1800.000', null])
  })

  it('answers for an ingredient that never came, and has no price where nothing was tested', async () => {
    const supplierId = (await makeSupplier(mill.db)).id
    const record = await recordOf(supplierId, 'limestone')
    expect(record).toMatchObject({ points: [], olderLots: 0, price: null, shortWeights: null, recordMean: null })
    expect(record.moisture.mean).toBeNull()
  })

  it.each([
    ['no ingredient', {}, 400, 'bad-input', 'ingredientId'],
    ['an ingredient that is in no book', { ingredientId: 'gold' }, 422, 'ingredient-unknown', 'ingredientId'],
    ['a misspelt field', { ingredient: 'maize_white' }, 400, 'bad-input', 'ingredient'],
  ])('refuses %s by the name of the field', async (_what, asked, status, code, path) => {
    const { id } = await makeSupplier(mill.db)
    const reply = await (await mill.as('manager')).get(`/suppliers/${id}/record`, asked)
    expect(reply.status).toBe(status)
    expect(reply.problem()).toMatchObject({ code })
    expect(reply.problem().errors?.map((error) => error.path)).toContain(path)
  })

  it('is not there for a supplier whom nobody knows, and closed to members', async () => {
    const { id } = await makeSupplier(mill.db)
    const asked = { ingredientId: 'maize_white' }
    expect((await (await mill.as('manager')).get(`/suppliers/${newId()}/record`, asked)).status).toBe(404)
    expect((await (await mill.as('member')).get(`/suppliers/${id}/record`, asked)).status).toBe(403)
    expect((await (await mill.as('member')).get('/supplier-ingredients', { supplierId: id })).status).toBe(403)
  })
})

describe('what a supplier delivered', () => {
  it('is told by ingredient: lots, kilograms and what was rejected', async () => {
    const supplierId = (await makeSupplier(mill.db)).id
    await makeLot(mill.db, { supplierId, netKg: '1200.5' })
    await makeLot(mill.db, { supplierId, netKg: '300', status: 'rejected' })
    await makeLot(mill.db, { supplierId, ingredientId: 'wheat_pollard', netKg: '2000' })
    await makeLot(mill.db, { netKg: '777' })
    const manager = await mill.as('manager')
    const reply = await manager.get('/supplier-ingredients', { supplierId })
    expect(reply.total).toBe(2)
    expect(reply.as(z.array(SupplierIngredientView))).toMatchObject([
      { id: 'maize_white', lots: 2, receivedKg: '1500.500', rejectedLots: 1, rejectedKg: '300.000' },
      { id: 'wheat_pollard', lots: 1, receivedKg: '2000.000', rejectedLots: 0, rejectedKg: '0.000' },
    ])
    const sorted = await manager.get('/supplier-ingredients', { supplierId, sort: 'receivedKg', order: 'desc', perPage: '1', page: '2' })
    expect(sorted.total).toBe(2)
    expect(sorted.as(z.array(SupplierIngredientView))).toMatchObject([{ id: 'maize_white' }])
    const found = await manager.get('/supplier-ingredients', { supplierId, q: 'pollard' })
    expect(found.as(z.array(SupplierIngredientView)).map(({ id }) => id)).toEqual(['wheat_pollard'])
  })

  it('refuses a list of nobody by the name of the field', async () => {
    const reply = await (await mill.as('manager')).get('/supplier-ingredients', { supplierId: 'Ota' })
    expect(reply.status).toBe(400)
    expect(reply.problem().errors?.map(({ path }) => path)).toContain('supplierId')
  })
})
