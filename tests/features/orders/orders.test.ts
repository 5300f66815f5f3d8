import { beforeAll, describe, expect, it } from 'vitest'
import { OfferView, OrderDetailView, OrderView } from '#contract/orders'
import { prepareMill } from '../../support/builders/mill.js'
import { LAYER_LIMITS, makeVersion, type BuiltVersion } from '../../support/builders/formulas.js'
import { makeFlock } from '../../support/builders/members.js'
import { dayFromNow } from '../../support/builders/days.js'
import { makeOrder } from '../../support/builders/orders.js'
import { openMill, type SignedIn } from '../../support/mill.js'

const mill = await openMill()
let layerMash: BuiltVersion
let chickMash: BuiltVersion
let member: SignedIn
let hens: { id: string }
let chicks: { id: string }
beforeAll(async () => {
  await prepareMill(mill.db)
  layerMash = await makeVersion(mill.db, { nameEn: 'Layer mash' })
  chickMash = await makeVersion(mill.db, {
    nameEn: 'Chick mash',
    stage: 'layer_chick_0_6wk',
    limits: {
      nutrients: [
        { nutrient: 'CP', min: 19 },
        { nutrient: 'Ca', min: 0.9, max: 1.1 },
        { nutrient: 'Na', min: 0.15, max: 0.25 },
      ],
    },
  })
  member = await mill.as('member')
  hens = await makeFlock(mill.db, { memberId: member.user.memberId ?? '', birds: 200 })
  chicks = await makeFlock(mill.db, { memberId: member.user.memberId ?? '', birds: 100, ageWeeks: 3, name: 'Chicks' })
})

const body = (facts: object = {}) => ({ flockId: hens.id, formulaVersionId: layerMash.id, kg: '200', dueOn: dayFromNow(3), ...facts })

describe('offers', () => {
  it('propose the feed for the age of each flock, a week of it in whole bags, and say why other feed is not allowed', async () => {
    const offers = (await member.get('/offers')).as(OfferView.array())
    const forHens = offers.find(({ id }) => id === hens.id)
    expect(forHens?.feeds.find(({ proposed }) => proposed)?.formulaVersionId).toBe(layerMash.id)
    // requirements.csv, layer_peak, REC: 108 g a bird and day, from memory; 200 birds x 108 g x 7 days = 151.2 kg, 4 bags of 50 kg
    expect(forHens).toMatchObject({
      stage: 'layer_peak',
      gramsPerBirdDay: 108,
      gramsKnownBy: 'memory',
      proposedKg: '200.000',
      bagKg: '50.000',
    })
    const forChicks = offers.find(({ id }) => id === chicks.id)
    expect(forChicks?.feeds.find(({ proposed }) => proposed)?.formulaVersionId).toBe(chickMash.id)
    const layerForChicks = forChicks?.feeds.find(({ formulaVersionId }) => formulaVersionId === layerMash.id)
    expect(layerForChicks?.findings.filter(({ severity }) => severity === 'block').map(({ what }) => what.code)).toContain(
      'birds-too-young',
    )
    expect(forHens?.dueDays.length).toBeGreaterThan(0)
    expect(forHens?.dueDays.every((day) => day > dayFromNow(-1))).toBe(true)
  })

  it('show a member only their own flocks', async () => {
    const theirs = await makeFlock(mill.db)
    expect((await member.get('/offers')).as(OfferView.array()).map(({ id }) => id)).not.toContain(theirs.id)
    const forMember = (await (await mill.as('counter-clerk')).get('/offers', { memberId: theirs.memberId })).as(OfferView.array())
    expect(forMember.map(({ id }) => id)).toEqual([theirs.id])
    expect((await (await mill.as('laboratory')).get('/offers')).problem().code).toBe('not-allowed')
  })
})

describe('placing an order', () => {
  it('keeps the price of the version, exactly, and gives a code of four digits to its member only', async () => {
    const order = (await member.post('/orders', body())).as(OrderView)
    // 200 kg x 55.20
    expect(order).toMatchObject({
      status: 'ordered',
      kg: '200.000',
      pricePerKg: '55.2000',
      priceTotal: '11040.00',
      feedNameEn: 'Layer mash',
    })
    expect(order.collectionCode).toMatch(/^\d{4}$/)
    expect((await member.get(`/orders/${order.id}`)).as(OrderDetailView)).toMatchObject({
      collectionCode: order.collectionCode,
      mix: null,
      costTotal: null,
    })
    expect((await (await mill.as('counter-clerk')).get(`/orders/${order.id}`)).as(OrderDetailView).collectionCode).toBeNull()
  })

  it('has one effect when the same request comes again, and refuses the key for another', async () => {
    const key = 'order-of-tuesday'
    const first = await member.post('/orders', body(), { key })
    const again = await member.post('/orders', body(), { key })
    expect(again.text).toBe(first.text)
    expect((await member.post('/orders', body({ kg: '300' }), { key })).problem()).toMatchObject({
      status: 422,
      code: 'idempotency-key-reused',
    })
    expect(await mill.db.order.count({ where: { id: first.as(OrderView).id } })).toBe(1)
  })

  it('refuses what cannot be, each beside its field, and writes nothing', async () => {
    const before = await mill.db.order.count()
    const wrong = [
      { facts: { kg: '-1' }, path: 'kg' },
      { facts: { kg: '0' }, path: 'kg' },
      { facts: { kg: '0.999' }, path: 'kg' },
      { facts: { kg: '50000.001' }, path: 'kg' },
      { facts: { kg: 'four bags' }, path: 'kg' },
      { facts: { dueOn: dayFromNow(-2) }, path: 'dueOn' },
      { facts: { dueOn: dayFromNow(62) }, path: 'dueOn' },
      { facts: { dueOn: '2026-02-30' }, path: 'dueOn' },
    ]
    for (const { facts, path } of wrong) {
      const reply = await member.post('/orders', body(facts))
      expect(reply.status).toBe(400)
      expect(reply.problem().errors?.[0]?.path).toBe(path)
    }
    expect(await mill.db.order.count()).toBe(before)
  })

  it("refuses another member's flock as unknown, and a feed that is not approved", async () => {
    const theirs = await makeFlock(mill.db)
    expect((await member.post('/orders', body({ flockId: theirs.id }))).problem()).toMatchObject({
      code: 'flock-unknown',
      errors: [{ path: 'flockId' }],
    })
    for (const status of ['draft', 'submitted', 'withdrawn'] as const) {
      const version = await makeVersion(mill.db, { status, limits: LAYER_LIMITS })
      const problem = (await member.post('/orders', body({ formulaVersionId: version.id }))).problem()
      expect(problem).toMatchObject({ status: 409, code: 'formula-not-approved', errors: [{ path: 'formulaVersionId' }] })
    }
  })

  it('refuses layer feed for chicks with the rule that blocks it', async () => {
    const problem = (await member.post('/orders', body({ flockId: chicks.id }))).problem()
    expect(problem).toMatchObject({ status: 422, code: 'safety-block' })
    expect(JSON.stringify(problem)).toContain('birds-too-young')
  })

  it('is for members, counter and manager', async () => {
    const clerk = (await (await mill.as('counter-clerk')).post('/orders', body())).as(OrderView)
    expect(clerk.memberId).toBe(member.user.memberId)
    for (const role of ['store-keeper', 'laboratory', 'mixer-operator', 'nutritionist'] as const) {
      expect((await (await mill.as(role)).post('/orders', body())).problem().code).toBe('not-allowed')
    }
  })
})

describe('orders', () => {
  it('of others are not there for a member', async () => {
    const theirs = await makeOrder(mill.db, { formulaVersionId: layerMash.id })
    expect((await member.get(`/orders/${theirs.id}`)).problem().code).toBe('not-found')
    expect((await member.post(`/orders/${theirs.id}/cancel`, { reason: 'mine' }, { revision: 1 })).problem().code).toBe('not-found')
    expect((await member.get('/orders', { memberId: theirs.memberId })).as(OrderView.array())).toEqual([])
    expect(
      (await (await mill.as('manager')).get('/orders', { q: String(theirs.number) })).as(OrderView.array()).map(({ id }) => id),
    ).toContain(theirs.id)
  })

  it('are cancelled with a reason before they are mixed, once', async () => {
    const order = (await member.post('/orders', body())).as(OrderView)
    const cancel = (revision: number, reason = 'birds sold') => member.post(`/orders/${order.id}/cancel`, { reason }, { revision })
    expect((await cancel(order.revision, '')).problem().errors?.[0]?.path).toBe('reason')
    expect((await cancel(order.revision)).as(OrderView)).toMatchObject({ status: 'cancelled', cancelReason: 'birds sold' })
    expect((await cancel(order.revision)).problem().code).toBe('stale-revision')
    expect((await cancel(order.revision + 1)).problem().code).toBe('wrong-state')
    const ready = await makeOrder(mill.db, { formulaVersionId: layerMash.id, status: 'ready' })
    expect((await (await mill.as('manager')).post(`/orders/${ready.id}/cancel`, { reason: 'late' }, { revision: 1 })).problem().code).toBe(
      'wrong-state',
    )
  })
})
