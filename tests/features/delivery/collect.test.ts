import { expect, test } from 'vitest'
import { BatchDetailView } from '#contract/production'
import { OrderView } from '#contract/orders'
import { proveStock } from '#features/stock/ledger'
import { makeLot } from '../../support/builders/lots.js'
import { prepareMill } from '../../support/builders/mill.js'
import { dayFromNow } from '../../support/builders/days.js'
import { makePlannedOrder, mixAll, usualLines } from '../../support/builders/production.js'
import { openMill } from '../../support/mill.js'

const mill = await openMill()
await prepareMill(mill.db)
const clerk = await mill.as('counter-clerk')
const mixer = await mill.as('mixer-operator')
const revisionOf = async (id: string) => (await mill.db.order.findUniqueOrThrow({ where: { id } })).revision
// The builders give every order this code.
const RIGHT = { collectionCode: '1234' }
const ready = async (loads = 1) => {
  const planned = await makePlannedOrder(mill.db, { loads })
  await mixAll(mixer, planned)
  return planned
}
const batchOf = async (orderId: string) => mill.db.batch.findFirstOrThrow({ where: { orderId } })

test('all bags of an order go to its member against the code', async () => {
  const { orderId, memberId } = await ready(2)
  const reply = await clerk.post(`/orders/${orderId}/collect`, RIGHT, { revision: await revisionOf(orderId) })
  expect(reply.status, reply.text).toBe(200)
  expect(reply.as(OrderView)).toMatchObject({ status: 'collected', collectionCode: null })
  const delivered = await mill.db.stockEntry.aggregate({ where: { account: 'member', memberId }, _sum: { kg: true } })
  expect(delivered._sum.kg?.toFixed(3)).toBe('200.000')
  expect((await batchOf(orderId)).bagsOnHandKg.toFixed(3)).toBe('0.000')
  expect((await proveStock(mill.db)).whole).toBe(true)
})

test('two who hand the same order over: the bags leave once', async () => {
  const { orderId } = await ready()
  const revision = await revisionOf(orderId)
  const store = await mill.as('store-keeper')
  const replies = await Promise.all([clerk, store].map((who) => who.post(`/orders/${orderId}/collect`, RIGHT, { revision })))
  expect(replies.map(({ status }) => status).toSorted()).toEqual([200, 412])
  expect(await mill.db.stockTransfer.count({ where: { orderId, kind: 'delivery' } })).toBe(1)
})

test('the same request again gives the same answer and no second delivery', async () => {
  const { orderId } = await ready()
  const options = { revision: await revisionOf(orderId), key: `again-${orderId}` }
  const replies = [
    await clerk.post(`/orders/${orderId}/collect`, RIGHT, options),
    await clerk.post(`/orders/${orderId}/collect`, RIGHT, options),
  ]
  expect(replies.map(({ status }) => status)).toEqual([200, 200])
  expect(replies[1]?.text).toBe(replies[0]?.text)
  expect(await mill.db.stockTransfer.count({ where: { orderId, kind: 'delivery' } })).toBe(1)
})

test('a wrong code is said beside its field; after five the sixth try waits, the right code too', async () => {
  const { orderId } = await ready()
  const collect = async (collectionCode: string) =>
    clerk.post(`/orders/${orderId}/collect`, { collectionCode }, { revision: await revisionOf(orderId) })
  for (let i = 0; i < 5; i += 1) {
    const wrong = await collect('9999')
    expect([wrong.status, wrong.problem().code, wrong.problem().errors?.[0]?.path]).toEqual([422, 'wrong-code', 'collectionCode'])
  }
  const sixth = await collect('1234')
  expect([sixth.status, sixth.problem().code]).toEqual([429, 'too-many-tries'])
  expect((await mill.db.order.findUniqueOrThrow({ where: { id: orderId } })).status).toBe('ready')
})

test('an order that is not ready, or one of whose loads is on hold, is not handed over', async () => {
  const planned = await makePlannedOrder(mill.db)
  const early = await clerk.post(`/orders/${planned.orderId}/collect`, RIGHT, { revision: await revisionOf(planned.orderId) })
  expect(early.problem().code).toBe('wrong-state')
  const { orderId } = await ready()
  const batch = await batchOf(orderId)
  const manager = await mill.as('manager')
  const held = await manager.post(`/batches/${batch.id}/hold`, { reason: 'a lot is in doubt' }, { revision: batch.revision })
  expect(held.as(BatchDetailView).status).toBe('on-hold')
  const refused = await clerk.post(`/orders/${orderId}/collect`, RIGHT, { revision: await revisionOf(orderId) })
  expect(refused.problem().code).toBe('wrong-state')
  expect((await batchOf(orderId)).bagsOnHandKg.toFixed(3)).toBe('100.000')
})

test('bags past their best-before date are not handed over; on the day itself they are', async () => {
  const { orderId } = await ready()
  const day = (ahead: number) => new Date(`${dayFromNow(ahead)}T00:00:00Z`)
  const collect = async () => clerk.post(`/orders/${orderId}/collect`, RIGHT, { revision: await revisionOf(orderId) })
  await mill.db.batch.updateMany({ where: { orderId }, data: { bestBefore: day(-2) } })
  const refused = await collect()
  expect([refused.status, refused.problem().code]).toEqual([422, 'safety-block'])
  expect(refused.text).toContain('bags-past-best-before')
  expect((await mill.db.order.findUniqueOrThrow({ where: { id: orderId } })).status).toBe('ready')
  await mill.db.batch.updateMany({ where: { orderId }, data: { bestBefore: day(0) } })
  expect((await collect()).status).toBe(200)
})

test('feed that its birds outgrew while it waited is not handed over, with the rule that forbids it', async () => {
  const [maize, soya, salt] = await usualLines(mill.db)
  if (maize === undefined || soya === undefined || salt === undefined) throw new Error('nothing built')
  const limestone = { lotId: (await makeLot(mill.db, { ingredientId: 'limestone' })).id, kg: 2.5 }
  const limits = { nutrients: [{ nutrient: 'Ca' as const, min: 0.9, max: 1.2 }] }
  const planned = await makePlannedOrder(mill.db, { lines: [{ ...maize, kg: 67 }, soya, limestone, salt], formula: { limits } })
  await mixAll(mixer, planned)
  const { orderId } = planned
  const { flockId } = await mill.db.order.update({ where: { id: orderId }, data: { dueOn: new Date('2020-01-01') } })
  await mill.db.flock.update({ where: { id: flockId }, data: { hatchedOn: new Date('2019-11-20'), laying: true } })
  const refused = await clerk.post(`/orders/${orderId}/collect`, RIGHT, { revision: await revisionOf(orderId) })
  // Pullets of six weeks on the day it was due, hens today: too little calcium (rule CA-05).
  expect([refused.status, refused.problem().code]).toEqual([422, 'safety-block'])
  expect(refused.text).toContain('CA-05')
  expect((await batchOf(orderId)).bagsOnHandKg.toFixed(3)).toBe('100.000')
})

test('refuses other roles, a stale revision, a code that is none, and an order that is none', async () => {
  const { orderId } = await ready()
  const revision = await revisionOf(orderId)
  for (const role of ['member', 'mixer-operator', 'laboratory', 'nutritionist'] as const) {
    expect((await (await mill.as(role)).post(`/orders/${orderId}/collect`, RIGHT, { revision })).status).toBe(403)
  }
  expect((await clerk.post(`/orders/${orderId}/collect`, RIGHT, { revision: 99 })).status).toBe(412)
  for (const collectionCode of ['12345', 'abcd', '', 1234]) {
    expect((await clerk.post(`/orders/${orderId}/collect`, { collectionCode }, { revision })).status).toBe(400)
  }
  expect((await clerk.post('/orders/00000000-0000-4000-8000-000000000000/collect', RIGHT, { revision: 1 })).status).toBe(404)
  expect((await mill.db.order.findUniqueOrThrow({ where: { id: orderId } })).status).toBe('ready')
})
