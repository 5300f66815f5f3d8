import { expect, test } from 'vitest'
import { TraceView } from '#contract/tracing'
import { prepareMill } from '../../support/builders/mill.js'
import { makePlannedOrder, mixAll, usualLines, type PlannedOrder } from '../../support/builders/production.js'
import { openMill } from '../../support/mill.js'

const mill = await openMill()
await prepareMill(mill.db)
const manager = await mill.as('manager')
const clerk = await mill.as('counter-clerk')
const mixer = await mill.as('mixer-operator')

const traced = async (query: { [name: string]: string }) => {
  const reply = await manager.get('/trace', query)
  expect(reply.status, reply.text).toBe(200)
  return reply.as(TraceView)
}
const collect = async ({ orderId }: PlannedOrder) => {
  const { revision } = await mill.db.order.findUniqueOrThrow({ where: { id: orderId } })
  expect((await clerk.post(`/orders/${orderId}/collect`, { collectionCode: '1234' }, { revision })).status).toBe(200)
}
const kinds = (view: { nodes: { kind: string }[] }) => view.nodes.map(({ kind }) => kind)

// Two orders share maize; the first was mixed and collected, the second is only planned.
const lines = await usualLines(mill.db)
const maizeId = lines[0]?.lotId ?? ''
const first = await makePlannedOrder(mill.db, { lines, loads: 2 })
await mixAll(mixer, first)
await collect(first)
const second = await makePlannedOrder(mill.db, { lines })
const maize = await mill.db.lot.findUniqueOrThrow({ where: { id: maizeId } })

test('from a lot: back to its supplier, forward to loads, orders and members, and its balance to the gram', async () => {
  const view = await traced({ from: 'lot', number: String(maize.number) })
  expect(kinds(view)).toEqual(['supplier', 'lot', 'batch', 'batch', 'batch', 'order', 'order', 'member', 'member'])
  expect(view.totals).toEqual({
    lots: 1,
    batches: 3,
    orders: 2,
    members: 2,
    madeKg: '200.000',
    collectedKg: '200.000',
    bagsOnHandKg: '0.000',
  })
  expect(view.balance).toEqual({ receivedKg: '5000.000', usedKg: '139.000', onHandKg: '4861.000', otherKg: '0.000', differenceKg: '0.000' })
  const fromLot = view.edges.filter(({ from }) => from === `lot:${maizeId}`)
  expect(fromLot.map(({ kg, certain }) => [kg, certain]).toSorted()).toEqual([
    ['69.500', false],
    ['69.500', true],
    ['69.500', true],
  ])
  expect(view.edges.find(({ to }) => to === `member:${first.memberId}`)).toMatchObject({ kg: '200.000', certain: true })
  expect(view.edges.find(({ to }) => to === `member:${second.memberId}`)).toMatchObject({ kg: '100.000', certain: false })
})

test('from a load, an order and a member: back to every lot and supplier', async () => {
  const batch = await mill.db.batch.findFirstOrThrow({ where: { orderId: first.orderId, loadOfOrder: 1 } })
  const fromBatch = await traced({ from: 'batch', number: String(batch.number) })
  expect(fromBatch.totals).toMatchObject({ lots: 3, batches: 1, orders: 1, members: 1 })
  expect(fromBatch.balance).toBeNull()
  const order = await mill.db.order.findUniqueOrThrow({ where: { id: first.orderId } })
  const fromOrder = await traced({ from: 'order', number: String(order.number) })
  expect(fromOrder.totals).toMatchObject({ lots: 3, batches: 2, orders: 1, members: 1 })
  // What went into the loads is what came out: 2 loads of 100 kg.
  const into = fromOrder.edges.filter(({ to }) => to.startsWith('batch:')).reduce((sum, { kg }) => sum + Number(kg), 0)
  expect(into).toBeCloseTo(200, 9)
  const fromMember = await traced({ from: 'member', id: first.memberId })
  expect(new Set(fromMember.nodes.map(({ id }) => id))).toEqual(new Set(fromOrder.nodes.map(({ id }) => id)))
  expect(fromMember.nodes.find(({ kind }) => kind === 'member')).toMatchObject({ kg: '200.000' })
})

test('from a supplier: its lots and all they reached', async () => {
  const view = await traced({ from: 'supplier', id: maize.supplierId })
  expect(view.nodes.filter(({ kind }) => kind === 'supplier')).toHaveLength(1)
  expect(view.totals).toMatchObject({ lots: 1, batches: 3, members: 2 })
})

test('a lot that no load used is a trace of its supplier and itself; an order without loads of its member', async () => {
  const idle = (await usualLines(mill.db))[0]?.lotId ?? ''
  const view = await traced({ from: 'lot', id: idle })
  expect(kinds(view)).toEqual(['supplier', 'lot'])
  expect(view.balance).toMatchObject({ receivedKg: '5000.000', usedKg: '0.000', differenceKg: '0.000' })
})

test('a lot of which more was weighed in than the books held still adds up', async () => {
  const planned = await makePlannedOrder(mill.db, { lines: await usualLines(mill.db, { maizeKg: '69.500' }) })
  const id = planned.batchIds[0] ?? ''
  await mixer.post(`/batches/${id}/start`, {}, { revision: 1 })
  const weights = ['69.8', '30', '0.5'].map((actualKg, i) => ({ part: 'load', position: i + 1, actualKg }))
  expect((await mixer.post(`/batches/${id}/finish`, { weights, madeKg: '100' }, { revision: 2 })).status).toBe(200)
  const view = await traced({ from: 'lot', id: planned.lines[0]?.lotId ?? '' })
  expect(view.balance).toEqual({ receivedKg: '69.500', usedKg: '69.800', onHandKg: '0.000', otherKg: '-0.300', differenceKg: '0.000' })
})

test('refuses what names nothing, what does not exist, and who may not', async () => {
  expect((await manager.get('/trace', { from: 'lot' })).problem().errors?.[0]?.path).toBe('number')
  expect((await manager.get('/trace', { from: 'supplier', number: '1' })).problem().errors?.[0]?.path).toBe('id')
  expect((await manager.get('/trace', { from: 'lot', number: '999999' })).status).toBe(404)
  for (const number of ['0', '-1', 'x', '1.5', '99999999999999'])
    expect((await manager.get('/trace', { from: 'lot', number })).status).toBe(400)
  expect((await manager.get('/trace', { from: 'egg', number: '1' })).status).toBe(400)
  for (const role of ['member', 'mixer-operator'] as const) {
    expect((await (await mill.as(role)).get('/trace', { from: 'lot', number: '1' })).status).toBe(403)
  }
})
