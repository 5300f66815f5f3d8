import { beforeEach, expect, test } from 'vitest'
import { MixView } from '#contract/formulas'
import { OrderDetailView } from '#contract/orders'
import { BatchDetailView } from '#contract/production'
import { proveStock } from '#features/stock/ledger'
import { makeVersion } from '../../support/builders/formulas.js'
import { balanceOf } from '../../support/builders/lots.js'
import { prepareMill } from '../../support/builders/mill.js'
import { makeLayerLots, makeMixer, makeOrder, type LayerLots } from '../../support/builders/orders.js'
import { openMill } from '../../support/mill.js'

const mill = await openMill()
await prepareMill(mill.db)
const version = await makeVersion(mill.db, { nameEn: 'Layer mash' })
await makeMixer(mill.db)
const manager = await mill.as('manager')
const mixer = await mill.as('mixer-operator')
const WHY = { reason: 'a lot was rejected' }

/** Every test has a store of its own: what others left is set aside as rejected. */
let lots: LayerLots
beforeEach(async () => {
  await mill.db.lot.updateMany({ data: { status: 'rejected' } })
  lots = await makeLayerLots(mill.db)
})

const present = <T>(value: T | undefined): T => {
  if (value === undefined) throw new Error('nothing there')
  return value
}
const read = async (id: string): Promise<OrderDetail> => (await manager.get(`/orders/${id}`)).as(OrderDetailView)
type OrderDetail = ReturnType<typeof OrderDetailView.parse>

/** An order of two loads of 500 kg; of the first 499.8 kg are in bags. */
const halfMade = async (): Promise<OrderDetail> => {
  const order = await makeOrder(mill.db, { formulaVersionId: version.id, kg: '1000.000' })
  const planned = (await manager.post(`/orders/${order.id}/plan`, {}, { revision: order.revision })).as(OrderDetailView)
  const id = present(planned.batches[0]).id
  const { lines } = (await mixer.post(`/batches/${id}/start`, {}, { revision: 1 })).as(BatchDetailView)
  const weights = lines.map(({ part, position, targetKg }) => ({ part, position, actualKg: targetKg }))
  const done = await mixer.post(`/batches/${id}/finish`, { weights, madeKg: '499.8' }, { revision: 2 })
  expect(done.as(BatchDetailView).status, done.text).toBe('done')
  return read(order.id)
}
const replan = (order: OrderDetail, options: object = {}) =>
  manager.post(`/orders/${order.id}/replan`, WHY, { revision: order.revision, ...options })
const cancelRest = (order: OrderDetail) => manager.post(`/orders/${order.id}/cancel-rest`, WHY, { revision: order.revision })
const rejectMaize = () => mill.db.lot.update({ where: { id: lots.maize_white.id }, data: { status: 'rejected' } })

test('a load whose lot was rejected is planned again from the stock of now, at the price that was told', async () => {
  const order = await halfMade()
  const second = present(order.batches[1])
  await rejectMaize()
  expect((await mixer.post(`/batches/${second.id}/start`, {}, { revision: 1 })).problem().code).toBe('safety-block')
  const { maize_white: other } = await makeLayerLots(mill.db)
  const shown = (await manager.get(`/orders/${order.id}/solution`)).as(MixView)
  expect(shown).toMatchObject({ kind: 'optimal', batchKg: '500.000' })

  const reply = await replan(order)
  const again = reply.as(OrderDetailView)
  expect(reply.status, reply.text).toBe(200)
  expect(again.batches.map(({ loadKg, status }) => [loadKg, status])).toEqual([
    ['500.000', 'done'],
    ['500.000', 'cancelled'],
    ['500.000', 'planned'],
  ])
  expect(again).toMatchObject({ status: 'being-mixed', pricePerKg: order.pricePerKg, priceTotal: order.priceTotal, baggedKg: null })
  expect(await balanceOf(mill.db, lots.maize_white.id)).toMatchObject({ reservedKg: '0.000' })
  expect(Number((await balanceOf(mill.db, other.id)).reservedKg)).toBeGreaterThan(200)
  expect((await mixer.post(`/batches/${second.id}/start`, {}, { revision: 2 })).problem().code).toBe('wrong-state')
  expect((await mixer.post(`/batches/${present(again.batches[2]).id}/start`, {}, { revision: 1 })).status).toBe(200)
  expect((await proveStock(mill.db)).whole).toBe(true)
})

test('what is set aside for the load itself may be used again, a held load is replaced too', async () => {
  await mill.db.lot.updateMany({ data: { status: 'rejected' } })
  // soya for these two loads and little more: without its own reservation the second could not be solved
  lots = await makeLayerLots(mill.db, { soybean_meal_44: '320.000' })
  const order = await halfMade()
  const second = present(order.batches[1])
  await mixer.post(`/batches/${second.id}/hold`, { reason: 'the sack is wet' }, { revision: 1 })
  const before = await balanceOf(mill.db, lots.soybean_meal_44.id)
  const reply = await replan(order)
  expect(reply.status, reply.text).toBe(200)
  expect(await balanceOf(mill.db, lots.soybean_meal_44.id)).toEqual(before)
  expect(Number(reply.as(OrderDetailView).costTotal)).toBeCloseTo(Number(order.costTotal), 1)
})

test('the same request again has one effect; an order without unbegun loads, a stale revision and other roles are refused', async () => {
  const order = await halfMade()
  const key = `replan-${order.id}`
  const first = await replan(order, { key })
  expect((await replan(order, { key })).text).toBe(first.text)
  expect(await mill.db.batch.count({ where: { orderId: order.id } })).toBe(3)
  expect((await replan(order)).problem().code).toBe('stale-revision')
  expect(await mill.db.auditEntry.count({ where: { entityId: order.id, action: 'order.replanned' } })).toBe(1)
  const now = await read(order.id)
  expect((await manager.post(`/orders/${order.id}/replan`, {}, { revision: now.revision })).problem().errors?.[0]?.path).toBe('reason')
  for (const path of ['replan', 'cancel-rest'])
    expect((await mixer.post(`/orders/${order.id}/${path}`, WHY, { revision: now.revision })).status).toBe(403)
  const ready = (await cancelRest(now)).as(OrderDetailView)
  expect((await replan(ready)).problem().code).toBe('wrong-state')
  expect((await cancelRest(ready)).problem().code).toBe('wrong-state')
})

test('loads of one order are not mixed by two versions', async () => {
  const order = await halfMade()
  await mill.db.formulaVersion.update({ where: { id: version.id }, data: { status: 'withdrawn' } })
  await makeVersion(mill.db, { formulaId: version.formulaId })
  expect((await replan(order)).problem().code).toBe('formula-not-approved')
  await mill.db.formulaVersion.updateMany({ where: { formulaId: version.formulaId }, data: { status: 'withdrawn' } })
  await mill.db.formulaVersion.update({ where: { id: version.id }, data: { status: 'approved' } })
})

test('with the rest cancelled the order is ready, costs what is in the bags, and the rest of the stock is free', async () => {
  const order = await halfMade()
  await rejectMaize()
  const reply = await cancelRest(order)
  expect(reply.status, reply.text).toBe(200)
  // 499.8 kg x 55.20
  expect(reply.as(OrderDetailView)).toMatchObject({ status: 'ready', kg: '1000.000', baggedKg: '499.800', priceTotal: '27588.96' })
  // what was given up costs nothing: of two equal loads half of the cost is left
  expect(Number(reply.as(OrderDetailView).costTotal)).toBeCloseTo(Number(order.costTotal) / 2, 0)
  for (const { id } of Object.values(lots)) expect((await balanceOf(mill.db, id)).reservedKg).toBe('0.000')
  const code = { collectionCode: '1234' }
  const collected = await manager.post(`/orders/${order.id}/collect`, code, { revision: (await read(order.id)).revision })
  expect(collected.status, collected.text).toBe(200)
  expect((await proveStock(mill.db)).whole).toBe(true)
})

test.each(['replan', 'cancel-rest'])('one starts the load while the other asks for %s: one of them wins, whole', async (path) => {
  const order = await halfMade()
  const second = present(order.batches[1])
  const [start, other] = await Promise.all([
    mixer.post(`/batches/${second.id}/start`, {}, { revision: 1 }),
    manager.post(`/orders/${order.id}/${path}`, WHY, { revision: order.revision }),
  ])
  const after = await mill.db.batch.findUniqueOrThrow({ where: { id: second.id } })
  const statuses = [start.status, other.status]
  if (start.status === 200) {
    expect(statuses).toEqual([200, path === 'replan' ? 412 : 409])
    expect(after.status).toBe('being-weighed')
    expect(await mill.db.batch.count({ where: { orderId: order.id } })).toBe(2)
  } else {
    expect(statuses).toEqual([412, 200])
    expect(after).toMatchObject({ status: 'cancelled', startedAt: null })
  }
  expect((await proveStock(mill.db)).whole).toBe(true)
})

test('a load that begins while the rest is worked out again makes the plan stale', async () => {
  const order = await halfMade()
  const second = present(order.batches[1])
  const begin = () => mixer.post(`/batches/${second.id}/start`, {}, { revision: 1 })
  const slow = {
    ...mill.pool,
    formulate: async (problem: Parameters<typeof mill.pool.formulate>[0]) => mill.pool.formulate(problem).finally(begin),
  }
  const { execute } = await import('#platform/execute')
  const { replanOrder } = await import('#features/planning/replan-order')
  const { user } = manager
  const actor = { userId: user.id, role: 'manager' as const, memberId: null, name: user.name, language: 'en' as const }
  const input = { id: order.id, revision: order.revision, mixerId: null, ...WHY }
  await expect(execute({ ...mill.deps, pool: slow }, replanOrder, { actor, input })).rejects.toMatchObject({ code: 'stale-revision' })
  expect(await mill.db.batch.findUniqueOrThrow({ where: { id: second.id } })).toMatchObject({ status: 'being-weighed' })
  expect((await proveStock(mill.db)).whole).toBe(true)
})

test('two managers at once, one plans again and one cancels the rest: one wins', async () => {
  const order = await halfMade()
  const replies = await Promise.all([replan(order), cancelRest(order)])
  expect(replies.map(({ status }) => status).toSorted()).toEqual([200, 412])
  expect((await proveStock(mill.db)).whole).toBe(true)
})
