import { randomUUID } from 'node:crypto'
import { beforeAll, describe, expect, it } from 'vitest'
import { z } from 'zod'
import { SupplierOfferView } from '#contract/purchasing'
import { addDays, loadToday } from '#platform/mill-day'
import { makeOffer } from '../../support/builders/offers.js'
import { prepareMill } from '../../support/builders/mill.js'
import { makeSupplier } from '../../support/builders/suppliers.js'
import { openMill } from '../../support/mill.js'

const mill = await openMill()
beforeAll(() => prepareMill(mill.db))

const today = (): Promise<string> => loadToday(mill.db, new Date())
const daysOn = async (days: number): Promise<string> => addDays(await today(), days)
const aBody = async (changes: object = {}) => ({
  supplierId: (await makeSupplier(mill.db)).id,
  ingredientId: 'soybean_cake_expeller',
  pricePerKg: '70',
  packKg: '50',
  fewestPacks: 4,
  mostKg: '3000',
  deliveryDays: 3,
  validUntil: await daysOn(14),
  note: ' by telephone ',
  ...changes,
})

describe('noting an offer', () => {
  it('keeps what was offered, exactly, and says what it comes to', async () => {
    const store = await mill.as('store-keeper')
    const reply = await store.post('/supplier-offers', await aBody({ pricePerKg: '70.1234' }))
    expect(reply.status, reply.text).toBe(201)
    const offer = reply.as(SupplierOfferView)
    // 4 x 50 x 70.1234 = 14,024.68
    expect(offer).toMatchObject({
      state: 'standing',
      pricePerKg: '70.1234',
      packKg: '50.000',
      fewestPacks: 4,
      fewestCost: '14024.68',
      mostKg: '3000.000',
      note: 'by telephone',
      arrivesOn: await daysOn(3),
      withdrawnAt: null,
      revision: 1,
    })
    expect((await (await mill.as('nutritionist')).get(`/supplier-offers/${offer.id}`)).as(SupplierOfferView)).toEqual(offer)
    const audit = await mill.db.auditEntry.findMany({ where: { entityId: offer.id } })
    expect(audit).toMatchObject([{ action: 'offer.noted', entityType: 'supplier-offer', facts: { pricePerKg: '70.1234', fewestPacks: 4 } }])
  })

  it('does not need to know how much there is', async () => {
    const { mostKg: _unsaid, fewestPacks: _one, ...body } = await aBody()
    const offer = (await (await mill.as('manager')).post('/supplier-offers', body)).as(SupplierOfferView)
    expect(offer).toMatchObject({ mostKg: null, fewestPacks: 1 })
  })

  it.each(['nutritionist', 'laboratory', 'mixer-operator', 'counter-clerk', 'member'] as const)('is not for a %s', async (role) => {
    const before = await mill.db.supplierOffer.count()
    expect((await (await mill.as(role)).post('/supplier-offers', await aBody())).status).toBe(403)
    expect(await mill.db.supplierOffer.count()).toBe(before)
  })

  it.each([
    ['a price of nothing', { pricePerKg: '0' }, 'pricePerKg'],
    ['a price below nothing', { pricePerKg: '-5' }, 'pricePerKg'],
    ['a price with a decimal comma', { pricePerKg: '70,5' }, 'pricePerKg'],
    ['a price as a number', { pricePerKg: 70 }, 'pricePerKg'],
    ['an empty pack', { packKg: '0' }, 'packKg'],
    ['a pack heavier than a lorry', { packKg: '30001', mostKg: null, fewestPacks: 1 }, 'packKg'],
    ['part of a pack', { fewestPacks: 1.5 }, 'fewestPacks'],
    ['no pack', { fewestPacks: 0 }, 'fewestPacks'],
    ['a fewest that no lorry brings', { fewestPacks: 2_001, mostKg: null }, 'fewestPacks'],
    ['less than the fewest packs', { mostKg: '199.999' }, 'mostKg'],
    ['a delivery before the order', { deliveryDays: -1 }, 'deliveryDays'],
    ['a delivery in a year', { deliveryDays: 181 }, 'deliveryDays'],
    ['a date that is none', { validUntil: '2026-02-30' }, 'validUntil'],
    ['an offer that has expired', { validUntil: '2020-01-01' }, 'validUntil'],
    ['an offer for ever', { validUntil: '9999-12-31' }, 'validUntil'],
    ['a note that is too long', { note: 'x'.repeat(301) }, 'note'],
    ['no supplier', { supplierId: '' }, 'supplierId'],
    ['a misspelt field', { pack: '50' }, 'pack'],
  ])('refuses %s, names the field and what is allowed, and writes nothing', async (_what, changes, path) => {
    const before = await mill.db.supplierOffer.count()
    const reply = await (await mill.as('manager')).post('/supplier-offers', await aBody(changes))
    expect(reply.status).toBe(400)
    const field = reply.problem().errors?.find((error) => error.path === path)
    expect(field?.message ?? '', reply.text).not.toBe('')
    expect(await mill.db.supplierOffer.count()).toBe(before)
  })

  it('stands on its last day, which may be today, and says which days are allowed', async () => {
    const manager = await mill.as('manager')
    expect((await manager.post('/supplier-offers', await aBody({ validUntil: await today() }))).as(SupplierOfferView).state).toBe(
      'standing',
    )
    const late = await manager.post('/supplier-offers', await aBody({ validUntil: await daysOn(-1) }))
    expect(late.problem().errors?.[0]).toMatchObject({
      path: 'validUntil',
      code: 'in-the-past',
      message: expect.stringContaining(await today()) as string,
    })
    const most = await manager.post('/supplier-offers', await aBody({ mostKg: '100' }))
    expect(most.problem().errors?.[0]).toMatchObject({ code: 'below-fewest', facts: { fewestKg: '200.000' } })
  })

  it('refuses an unknown supplier or ingredient by its field', async () => {
    const manager = await mill.as('manager')
    const who = await manager.post('/supplier-offers', await aBody({ supplierId: randomUUID() }))
    expect(who.problem()).toMatchObject({ code: 'supplier-unknown', errors: [{ path: 'supplierId' }] })
    const what = await manager.post('/supplier-offers', await aBody({ ingredientId: 'gold' }))
    expect(what.problem()).toMatchObject({ code: 'ingredient-unknown', errors: [{ path: 'ingredientId' }] })
  })

  it('twice with one Idempotency-Key is one offer', async () => {
    const manager = await mill.as('manager')
    const [body, key] = [await aBody(), randomUUID()]
    const before = await mill.db.supplierOffer.count()
    const replies = await Promise.all([manager.post('/supplier-offers', body, { key }), manager.post('/supplier-offers', body, { key })])
    const again = await manager.post('/supplier-offers', body, { key })
    expect(again.status).toBe(201)
    const ids = [...replies.filter(({ status }) => status === 201), again].map((reply) => reply.as(SupplierOfferView).id)
    expect(new Set(ids).size).toBe(1)
    expect(await mill.db.supplierOffer.count()).toBe(before + 1)
  })
})

describe('the list of offers', () => {
  const list = async (query: { readonly [name: string]: string }) => {
    const reply = await (await mill.as('nutritionist')).get('/supplier-offers', query)
    expect(reply.status, reply.text).toBe(200)
    return { offers: reply.as(z.array(SupplierOfferView)), total: reply.total }
  }

  it('is filtered by state, supplier, ingredient and words, sorted and paged', async () => {
    const { id: supplierId, name } = await makeSupplier(mill.db)
    const cheap = await makeOffer(mill.db, { supplierId, pricePerKg: '30' })
    const dear = await makeOffer(mill.db, { supplierId, pricePerKg: '50', ingredientId: 'salt' })
    const old = await makeOffer(mill.db, { supplierId, pricePerKg: '20', validDays: -1 })
    const gone = await makeOffer(mill.db, { supplierId, pricePerKg: '10', validDays: -5, withdrawn: true })
    const ids = async (query: { readonly [name: string]: string }) => (await list({ supplierId, ...query })).offers.map(({ id }) => id)
    expect(await ids({})).toEqual([gone.id, old.id, dear.id, cheap.id])
    expect(await ids({ state: 'standing', sort: 'pricePerKg', order: 'asc' })).toEqual([cheap.id, dear.id])
    expect(await ids({ state: 'expired' })).toEqual([old.id])
    expect(await ids({ state: 'withdrawn' })).toEqual([gone.id])
    expect(await ids({ state: 'expired,withdrawn', sort: 'number', order: 'asc' })).toEqual([old.id, gone.id])
    expect(await ids({ ingredientId: 'salt' })).toEqual([dear.id])
    expect(await ids({ q: String(dear.number) })).toContain(dear.id)
    expect((await list({ q: name, perPage: '3', page: '2' })).offers.map(({ id }) => id)).toEqual([cheap.id])
    expect((await list({ q: name, perPage: '3' })).total).toBe(4)
    expect((await list({ supplierId })).offers.map(({ state }) => state)).toEqual(['withdrawn', 'expired', 'standing', 'standing'])
  })

  it.each(['laboratory', 'mixer-operator', 'counter-clerk', 'member'] as const)('is not for a %s', async (role) => {
    const { id } = await makeOffer(mill.db)
    expect((await (await mill.as(role)).get('/supplier-offers')).status).toBe(403)
    expect((await (await mill.as(role)).get(`/supplier-offers/${id}`)).status).toBe(403)
  })

  it('refuses a state and a sorting that it does not know', async () => {
    const manager = await mill.as('manager')
    expect((await manager.get('/supplier-offers', { state: 'open' })).problem().errors?.[0]?.path).toMatch(/^state/)
    expect((await manager.get('/supplier-offers', { sort: 'note' })).problem().errors?.[0]?.path).toBe('sort')
    expect((await manager.get(`/supplier-offers/${randomUUID()}`)).status).toBe(404)
  })
})

describe('withdrawing an offer', () => {
  it('keeps who did it, when and why, and leaves the words of the offer as they were', async () => {
    const { id } = await makeOffer(mill.db)
    const store = await mill.as('store-keeper')
    const before = (await store.get(`/supplier-offers/${id}`)).as(SupplierOfferView)
    const reply = await store.post(`/supplier-offers/${id}/withdraw`, { reason: 'sold out' }, { revision: 1 })
    const after = reply.as(SupplierOfferView)
    expect(after).toMatchObject({ state: 'withdrawn', withdrawnReason: 'sold out', withdrawnBy: store.user.name, revision: 2 })
    const { state: _s, withdrawnAt: _a, withdrawnBy: _b, withdrawnReason: _r, revision: _n, ...kept } = before
    expect(after).toMatchObject(kept)
    expect(await mill.db.auditEntry.findMany({ where: { entityId: id } })).toMatchObject([
      { action: 'offer.withdrawn', facts: { reason: 'sold out' } },
    ])
  })

  it('needs a reason, the revision, an offer, and a manager or store keeper', async () => {
    const { id } = await makeOffer(mill.db)
    const manager = await mill.as('manager')
    const path = `/supplier-offers/${id}/withdraw`
    expect((await manager.post(path, { reason: ' ' }, { revision: 1 })).problem().errors?.[0]?.path).toBe('reason')
    expect((await manager.post(path, { reason: 'why' })).problem().code).toBe('revision-missing')
    expect((await manager.post(path, { reason: 'why' }, { revision: 2 })).problem().code).toBe('stale-revision')
    expect((await manager.post(`/supplier-offers/${randomUUID()}/withdraw`, { reason: 'why' }, { revision: 1 })).status).toBe(404)
    for (const role of ['nutritionist', 'laboratory', 'mixer-operator', 'counter-clerk', 'member'] as const)
      expect((await (await mill.as(role)).post(path, { reason: 'why' }, { revision: 1 })).status).toBe(403)
    expect((await manager.get(`/supplier-offers/${id}`)).as(SupplierOfferView).state).toBe('standing')
  })

  it('by two at once happens once', async () => {
    const { id } = await makeOffer(mill.db)
    const [one, two] = [await mill.as('manager'), await mill.as('store-keeper')]
    const replies = await Promise.all(
      [one, two].map((who) => who.post(`/supplier-offers/${id}/withdraw`, { reason: `by ${who.user.role}` }, { revision: 1 })),
    )
    expect(replies.map(({ status }) => status).sort()).toEqual([200, 409])
    expect(replies.find(({ status }) => status === 409)?.problem().code).toBe('wrong-state')
    expect(await mill.db.auditEntry.count({ where: { entityId: id } })).toBe(1)
  })
})

describe('the table', () => {
  it('lets the service change nothing of an offer but its withdrawal', async () => {
    const { id } = await makeOffer(mill.db)
    await expect(mill.db.supplierOffer.update({ where: { id }, data: { pricePerKg: '1' } })).rejects.toThrow(/permission denied/)
    await expect(mill.db.supplierOffer.delete({ where: { id } })).rejects.toThrow(/permission denied/)
  })
})
