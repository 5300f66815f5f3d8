import { beforeAll, beforeEach, describe, expect, it } from 'vitest'
import { MixView } from '#contract/formulas'
import { LotDetailView } from '#contract/lots'
import { ExplanationView } from '#contract/solving'
import { loadOfferedLots } from '#features/purchasing/offer-lots'
import { addDays, dateOf, loadToday } from '#platform/mill-day'
import { limitsOf } from '../../support/builders/formulas.js'
import { makeLot } from '../../support/builders/lots.js'
import { prepareMill } from '../../support/builders/mill.js'
import { makeOffer } from '../../support/builders/offers.js'
import { makeSupplier } from '../../support/builders/suppliers.js'
import { openMill } from '../../support/mill.js'

const mill = await openMill()
const SOYA = 'soybean_meal_44'
let maizeId = ''
beforeAll(async () => {
  await prepareMill(mill.db, { jurisdiction: 'EU' })
  await mill.db.ingredient.updateMany({ data: { replacementPricePerKg: null, replacementPriceOn: null } })
  maizeId = (await makeLot(mill.db, { pricePerKg: '40', netKg: '5000', assays: { CP: 8, moisture: 12 } })).id
})
// what an earlier test left on offer would be bought here too
beforeEach(async () => {
  const who = await mill.as('manager')
  await mill.db.supplierOffer.updateMany({
    where: { withdrawnAt: null },
    data: { withdrawnAt: new Date(), withdrawnBy: who.user.id, withdrawnReason: 'end of a test' },
  })
})

const limits = limitsOf({ nutrients: [{ nutrient: 'CP', min: 16 }] })
const explain = async (body: object = {}) => {
  const reply = await (await mill.as('manager')).post('/solve/explain', { stage: 'layer_peak', limits, ...body })
  expect(reply.status, reply.text).toBe(200)
  return reply.as(ExplanationView)
}
const today = (): Promise<string> => loadToday(mill.db, new Date())
const proteinOf = async (offerId: string): Promise<number> => {
  const offered = (await loadOfferedLots(mill.db, new Date())).find(({ offer }) => offer.id === offerId)
  return offered?.lot.composition.values.CP.value ?? Number.NaN
}

describe('the purchase that makes a mix possible', () => {
  it('is whole packs of the cheapest offer, told with who, when, money and what is left over', async () => {
    const { id: supplierId, name } = await makeSupplier(mill.db)
    const offer = await makeOffer(mill.db, { supplierId, ingredientId: SOYA, pricePerKg: '70', deliveryDays: 4 })
    await makeOffer(mill.db, { ingredientId: SOYA, pricePerKg: '71', deliveryDays: 1 })
    // by hand: x kg of soya in 1000 kg with maize for the rest must hold 16 % of protein
    const maize = (await (await mill.as('manager')).get(`/lots/${maizeId}`)).as(LotDetailView)
    const has = maize.composition.find(({ nutrient }) => nutrient === 'CP')?.value ?? Number.NaN
    const needed = (1000 * (16 - has)) / ((await proteinOf(offer.id)) - has)
    const packs = Math.ceil(needed / 50)
    const found = await explain()
    expect(found).toMatchObject({ kind: 'infeasible', noPurchase: null })
    expect(found.purchase).toMatchObject({
      total: (packs * 50 * 70).toFixed(2),
      arrivesOn: addDays(await today(), 4),
      neededOn: null,
      late: null,
      proven: true,
      items: [
        {
          ingredientId: SOYA,
          kg: `${packs * 50}.000`,
          pricePerKg: '70.0000',
          pricedOn: null,
          offer: { id: offer.id, number: offer.number, supplierId, supplierName: name, packs, packKg: '50.000' },
        },
      ],
    })
    // soya is dearer than maize, so the mix takes no more of it than it must
    expect(Number(found.purchase?.items[0]?.leftKg)).toBeCloseTo(packs * 50 - needed, 2)
  })

  it('received and released makes the mix: it is solved and passes every check of its limits', async () => {
    const { id: supplierId } = await makeSupplier(mill.db)
    await makeOffer(mill.db, { supplierId, ingredientId: SOYA, pricePerKg: '70' })
    const [item] = (await explain()).purchase?.items ?? []
    const lot = await makeLot(mill.db, { supplierId, ingredientId: SOYA, netKg: item?.kg ?? '0', pricePerKg: '70' })
    const reply = await (await mill.as('manager')).post('/solve', { stage: 'layer_peak', limits })
    const mix = reply.as(MixView)
    expect(mix.kind).toBe('optimal')
    const used = mix.amounts.find(({ ingredientId }) => ingredientId === SOYA)
    expect(Number(used?.kg)).toBeCloseTo(Number(item?.kg) - Number(item?.leftKg), 1)
    await mill.db.lot.update({ where: { id: lot.id }, data: { status: 'rejected', statusReason: 'end of a test' } })
  })

  it('never comes from an offer that has expired or was withdrawn, and stands on its last day', async () => {
    await makeOffer(mill.db, { ingredientId: SOYA, pricePerKg: '10', validDays: -1 })
    await makeOffer(mill.db, { ingredientId: SOYA, pricePerKg: '10', withdrawn: true })
    expect(await explain()).toMatchObject({ purchase: null, noPurchase: { reason: 'nothing-to-buy', limits: [] } })
    const last = await makeOffer(mill.db, { ingredientId: SOYA, pricePerKg: '90', validDays: 0 })
    expect((await explain()).purchase?.items).toMatchObject([{ offer: { id: last.id } }])
  })

  it('keeps to the fewest packs and to what there is', async () => {
    const many = await makeOffer(mill.db, { ingredientId: SOYA, pricePerKg: '60', fewestPacks: 40 })
    const small = await makeOffer(mill.db, { ingredientId: SOYA, pricePerKg: '70' })
    expect((await explain()).purchase?.items).toMatchObject([{ offer: { id: small.id } }])
    const store = await mill.as('store-keeper')
    await store.post(`/supplier-offers/${small.id}/withdraw`, { reason: 'sold' }, { revision: 1 })
    expect((await explain()).purchase?.items).toMatchObject([{ kg: '2000.000', offer: { id: many.id, packs: 40 } }])
  })

  it('is told as too little where all that is offered does not do, with the limits that cannot hold', async () => {
    await makeOffer(mill.db, { ingredientId: SOYA, pricePerKg: '70', mostKg: '100' })
    const found = await explain()
    expect(found).toMatchObject({ purchase: null, noPurchase: { reason: 'not-enough' } })
    expect(found.noPurchase?.limits).toContainEqual(expect.objectContaining({ kind: 'nutrient', nutrient: 'CP' }))
  })

  it('says whether it comes after the day it is needed', async () => {
    await makeOffer(mill.db, { ingredientId: SOYA, pricePerKg: '70', deliveryDays: 4 })
    const day = await today()
    expect((await explain({ neededOn: addDays(day, 3) })).purchase).toMatchObject({ late: true, neededOn: addDays(day, 3) })
    expect((await explain({ neededOn: addDays(day, 4) })).purchase).toMatchObject({ late: false })
  })

  it('believes a lot that is offered as the next lot of that supplier', async () => {
    const { id: weak } = await makeSupplier(mill.db)
    // urea 0: protein of soya counts in the record only where urea was looked for
    for (let lot = 0; lot < 12; lot += 1)
      await makeLot(mill.db, { supplierId: weak, ingredientId: SOYA, status: 'rejected', assays: { CP: 36, moisture: 11, urea: 0 } })
    const poor = await makeOffer(mill.db, { supplierId: weak, ingredientId: SOYA, pricePerKg: '70' })
    const unknown = await makeOffer(mill.db, { ingredientId: SOYA, pricePerKg: '70' })
    expect(await proteinOf(poor.id)).toBeLessThan((await proteinOf(unknown.id)) - 3)
  })

  it('takes what nobody offers at its replacement price, and says of which day that is', async () => {
    const [salt, fish] = ['salt', 'fish_meal_local_50']
    await mill.db.ingredient.update({
      where: { id: fish },
      data: { replacementPricePerKg: '150', replacementPriceOn: dateOf('2026-07-01') },
    })
    await makeOffer(mill.db, { ingredientId: salt, pricePerKg: '20' })
    const { purchase } = await explain()
    expect(purchase).toMatchObject({ arrivesOn: null, late: null })
    expect(purchase?.items).toMatchObject([{ ingredientId: fish, offer: null, pricedOn: '2026-07-01', pricePerKg: '150.0000' }])
    // with an offer of it the replacement price does not count any more, cheap as it is
    await mill.db.ingredient.update({ where: { id: fish }, data: { replacementPricePerKg: '1' } })
    const offer = await makeOffer(mill.db, { ingredientId: fish, pricePerKg: '160' })
    expect((await explain()).purchase?.items).toMatchObject([{ offer: { id: offer.id }, pricePerKg: '160.0000' }])
    // a price that is tried out is not the supplier's
    const tried = await explain({ prices: [{ ingredientId: fish, pricePerKg: '5' }] })
    expect(tried.purchase?.items).toMatchObject([{ pricePerKg: '160.0000' }])
    await mill.db.ingredient.update({ where: { id: fish }, data: { replacementPricePerKg: null, replacementPriceOn: null } })
  })

  it('buys nothing that was left out of the mix, and looks for nothing when book lots are asked for', async () => {
    await makeOffer(mill.db, { ingredientId: SOYA, pricePerKg: '70' })
    expect((await explain({ without: [SOYA] })).noPurchase).toMatchObject({ reason: 'nothing-to-buy' })
    expect(await explain({ lots: 'book' })).toMatchObject({ purchase: null, noPurchase: null })
  })
})
