import { expect, test } from 'vitest'
import { LotView } from '#contract/lots'
import { OrderView } from '#contract/orders'
import { BatchDetailView } from '#contract/production'
import { BlankSheetView } from '#contract/sheets'
import { proveStock } from '#features/stock/ledger'
import { prepareMill } from '../../support/builders/mill.js'
import { asPlanned, makePlannedOrder, mixAll } from '../../support/builders/production.js'
import { makeSheets } from '../../support/builders/sheets.js'
import { makeSupplier } from '../../support/builders/suppliers.js'
import { openMill } from '../../support/mill.js'

const mill = await openMill()
await prepareMill(mill.db)
const store = await mill.as('store-keeper')
const mixer = await mill.as('mixer-operator')
const clerk = await mill.as('counter-clerk')
const supplierId = (await makeSupplier(mill.db)).id
const [MINUTE_MS, DAY_MS] = [60_000, 86_400_000]
const ago = (ms: number): string => new Date(Date.now() - ms).toISOString()
const HALF_HOUR_AGO = () => ago(30 * MINUTE_MS)

const delivery = (facts: object) => ({ ingredientId: 'salt', supplierId, netKg: '500', pricePerKg: '25', ...facts })
const sheetOf = async (id: string | undefined) => (await store.get(`/blank-sheets/${id}`)).as(BlankSheetView)
const discrepancies = async (where: object) =>
  (await mill.db.discrepancy.findMany({ where, orderBy: { kind: 'asc' } })).map(({ kind }) => kind)
const revisionOf = async (id: string) => (await mill.db.order.findUniqueOrThrow({ where: { id } })).revision
/** An order whose load was bagged before the power went, so that its bags can have been handed over half an hour ago. */
const ready = async () => {
  const planned = await makePlannedOrder(mill.db)
  await mixAll(mixer, planned)
  const [startedAt, finishedAt] = [new Date(ago(55 * MINUTE_MS)), new Date(ago(45 * MINUTE_MS))]
  await mill.db.batch.updateMany({ where: { orderId: planned.orderId }, data: { startedAt, finishedAt } })
  return planned
}
const fault = (reply: { problem: () => { code: string; errors?: readonly { path: string; code: string }[] | undefined } }) => {
  const { code, errors } = reply.problem()
  return [code, errors?.[0]?.path, errors?.[0]?.code]
}

test('a delivery that was written on a sheet keeps both times, and the sheet says which lot it became', async () => {
  const [sheet] = await makeSheets(mill.db)
  const receivedAt = HALF_HOUR_AGO()
  const reply = await store.post('/lots', delivery({ receivedAt, sheet: sheet?.code }))
  expect(reply.status, reply.text).toBe(201)
  const lot = reply.as(LotView)
  expect(lot.receivedAt).toBe(receivedAt)
  const entered = await sheetOf(sheet?.id)
  expect(entered).toMatchObject({ state: 'entered', happenedAt: receivedAt, enteredBy: store.user.name, lot: { number: lot.number } })
  expect(Date.parse(entered.enteredAt ?? '')).toBeGreaterThan(Date.parse(receivedAt))
  expect(await discrepancies({ lotId: lot.id })).toEqual([])
})

test('a sheet is entered once: the second is told by whom and when, and nothing of it is booked', async () => {
  const [sheet] = await makeSheets(mill.db)
  const enter = () => store.post('/lots', delivery({ receivedAt: HALF_HOUR_AGO(), sheet: sheet?.code }))
  const [first, lots] = [await enter(), await mill.db.lot.count()]
  expect(first.status).toBe(201)
  const second = await enter()
  expect([second.status, ...fault(second)]).toEqual([409, 'wrong-state', 'sheet', 'sheet-entered'])
  const facts = second.problem().errors?.[0]?.facts
  expect([facts?.['by'], facts?.['at']]).toEqual([store.user.name, (await sheetOf(sheet?.id)).enteredAt])
  expect(await mill.db.lot.count()).toBe(lots)
})

test('two who enter the same sheet at once: one lot', async () => {
  const [sheet] = await makeSheets(mill.db)
  const before = await mill.db.lot.count()
  const who = [store, await mill.as('manager')]
  const replies = await Promise.all(who.map((each) => each.post('/lots', delivery({ receivedAt: HALF_HOUR_AGO(), sheet: sheet?.code }))))
  expect(replies.map(({ status }) => status).toSorted()).toEqual([201, 409])
  expect(await mill.db.lot.count()).toBe(before + 1)
})

test('refuses a number that was never printed, a sheet of another kind, a spoiled one, and what is no number', async () => {
  const enter = async (sheet: string | undefined) => fault(await store.post('/lots', delivery({ receivedAt: HALF_HOUR_AGO(), sheet })))
  const [weighing] = await makeSheets(mill.db, { kind: 'weighing' })
  const [spoiled] = await makeSheets(mill.db)
  await store.post(`/blank-sheets/${spoiled?.id}/spoil`, { reason: 'torn' })
  expect(await enter('R-999999')).toEqual(['bad-input', 'sheet', 'sheet-unknown'])
  expect(await enter(weighing?.code)).toEqual(['bad-input', 'sheet', 'sheet-of-other-kind'])
  expect(await enter(weighing?.code.replace('W', 'R'))).toEqual(['bad-input', 'sheet', 'sheet-of-other-kind'])
  expect(await enter(spoiled?.code)).toEqual(['wrong-state', 'sheet', 'sheet-spoiled'])
  expect((await enter('R12'))[0]).toBe('bad-input')
})

test('nothing happened after now, nor before the sheet was printed; then the sheet stays blank', async () => {
  const [sheet] = await makeSheets(mill.db)
  const enter = async (receivedAt: string) => fault(await store.post('/lots', delivery({ receivedAt, sheet: sheet?.code })))
  expect(await enter(ago(-10 * MINUTE_MS))).toEqual(['bad-input', 'receivedAt', 'in-the-future'])
  expect(await enter(ago(62 * MINUTE_MS))).toEqual(['bad-input', 'receivedAt', 'before-printed'])
  expect((await sheetOf(sheet?.id)).state).toBe('printed')
})

test('what is entered more than seven days later is taken, and the manager is told', async () => {
  const sheets = await makeSheets(mill.db, { count: 2, printedAt: new Date(Date.now() - 20 * DAY_MS) })
  const enter = async (i: number, ms: number) =>
    (await store.post('/lots', delivery({ receivedAt: ago(ms), sheet: sheets[i]?.code }))).as(LotView)
  const late = await enter(0, 7 * DAY_MS + MINUTE_MS)
  expect(await discrepancies({ lotId: late.id })).toEqual(['sheet-entered-late'])
  const row = await mill.db.discrepancy.findFirstOrThrow({ where: { lotId: late.id } })
  expect(row.facts).toMatchObject({ sheet: sheets[0]?.code, days: 7 })
  expect(await discrepancies({ lotId: (await enter(1, 7 * DAY_MS - MINUTE_MS)).id })).toEqual([])
})

test('a load that was weighed on paper and never started is booked at its own time, with what was not checked told', async () => {
  const [sheet] = await makeSheets(mill.db, { kind: 'weighing' })
  const planned = await makePlannedOrder(mill.db)
  const [id = ''] = planned.batchIds
  const finishedAt = HALF_HOUR_AGO()
  const body = { weights: asPlanned(planned), madeKg: String(planned.loadKg), sheet: sheet?.code }
  expect(fault(await mixer.post(`/batches/${id}/finish`, body, { revision: 1 }))).toEqual(['bad-input', 'finishedAt', 'missing'])
  const reply = await mixer.post(`/batches/${id}/finish`, { ...body, finishedAt }, { revision: 1 })
  expect(reply.status, reply.text).toBe(200)
  expect(reply.as(BatchDetailView)).toMatchObject({ status: 'done', finishedAt })
  expect(await sheetOf(sheet?.id)).toMatchObject({ state: 'entered', happenedAt: finishedAt, batch: { id } })
  expect(await discrepancies({ batchId: id })).toEqual(['weighed-before-start'])
})

const handOver = async (orderId: string, body: object) =>
  clerk.post(`/orders/${orderId}/collect`, body, { revision: await revisionOf(orderId) })

test('bags that were handed over in a power cut are booked at that time, and a right code leaves nothing open', async () => {
  const { orderId } = await ready()
  const [sheet] = await makeSheets(mill.db, { kind: 'collection' })
  const collectedAt = HALF_HOUR_AGO()
  const reply = await handOver(orderId, { collectionCode: '1234', collectedAt, sheet: sheet?.code })
  expect(reply.status, reply.text).toBe(200)
  expect(reply.as(OrderView)).toMatchObject({ status: 'collected', collectedAt })
  expect((await mill.db.stockTransfer.findFirstOrThrow({ where: { orderId, kind: 'delivery' } })).happenedAt.toISOString()).toBe(
    collectedAt,
  )
  expect(await sheetOf(sheet?.id)).toMatchObject({ state: 'entered', order: { id: orderId } })
  expect(await discrepancies({ orderId })).toEqual([])
})

test('bags that were given without a code, from a load on hold and past their date are gone: booked, and each thing told', async () => {
  const { orderId, batchIds } = await ready()
  const [id = ''] = batchIds
  const held = await mixer.post(`/batches/${id}/hold`, { reason: 'a lot is in doubt' }, { revision: 3 })
  expect(held.status, held.text).toBe(200)
  await mill.db.batch.update({ where: { id }, data: { bestBefore: new Date(Date.now() - 3 * DAY_MS) } })
  const [sheet] = await makeSheets(mill.db, { kind: 'collection' })
  const reply = await handOver(orderId, { collectionCode: null, collectedAt: HALF_HOUR_AGO(), sheet: sheet?.code })
  expect(reply.status, reply.text).toBe(200)
  expect(await discrepancies({ orderId })).toEqual(['handed-over-on-hold', 'handed-over-unsafe', 'handed-over-without-code'])
  expect((await mill.db.batch.findUniqueOrThrow({ where: { id } })).bagsOnHandKg.toFixed(3)).toBe('0.000')
  expect((await proveStock(mill.db)).whole).toBe(true)
})

test('sheets that are found after more than a month are still taken: what stands on them has happened', async () => {
  const printedAt = new Date(Date.now() - 60 * DAY_MS)
  const [weighing] = await makeSheets(mill.db, { kind: 'weighing', printedAt })
  const [collection] = await makeSheets(mill.db, { kind: 'collection', printedAt })
  const planned = await makePlannedOrder(mill.db)
  const [id = ''] = planned.batchIds
  const weights = { weights: asPlanned(planned), madeKg: String(planned.loadKg) }
  expect(fault(await mixer.post(`/batches/${id}/finish`, { ...weights, finishedAt: ago(40 * DAY_MS) }, { revision: 1 }))).toEqual([
    'bad-input',
    'finishedAt',
    'too-long-ago',
  ])
  const body = { ...weights, finishedAt: ago(40 * DAY_MS), sheet: weighing?.code }
  const finished = await mixer.post(`/batches/${id}/finish`, body, { revision: 1 })
  expect(finished.status, finished.text).toBe(200)
  const given = await handOver(planned.orderId, { collectionCode: null, collectedAt: ago(39 * DAY_MS), sheet: collection?.code })
  expect(given.status, given.text).toBe(200)
  expect(await discrepancies({ orderId: planned.orderId, kind: 'sheet-entered-late' })).toEqual(['sheet-entered-late'])
  expect(await discrepancies({ batchId: id, kind: 'sheet-entered-late' })).toEqual(['sheet-entered-late'])
  expect((await proveStock(mill.db)).whole).toBe(true)
})

test('one sheet for two loads at once, one load from two sheets at once, one sheet entered while it is given up: one of them', async () => {
  const finish = (who: typeof mixer, planned: Awaited<ReturnType<typeof makePlannedOrder>>, sheet: string | undefined) => {
    const body = { weights: asPlanned(planned), madeKg: String(planned.loadKg), finishedAt: HALF_HOUR_AGO(), sheet }
    return who.post(`/batches/${planned.batchIds[0]}/finish`, body, { revision: 1 })
  }
  const manager = await mill.as('manager')
  const [one, two, three] = [await makePlannedOrder(mill.db), await makePlannedOrder(mill.db), await makePlannedOrder(mill.db)]
  const [shared, first, second, spoiled] = await makeSheets(mill.db, { kind: 'weighing', count: 4 })
  const twoLoads = await Promise.all([finish(mixer, one, shared?.code), finish(manager, two, shared?.code)])
  expect(twoLoads.map(({ status }) => status).toSorted()).toEqual([200, 409])
  const untouched = await mill.db.batch.findMany({ where: { id: { in: [...one.batchIds, ...two.batchIds] }, finishedAt: null } })
  expect(untouched).toMatchObject([{ status: 'planned', startedAt: null }])
  const twoSheets = await Promise.all([finish(mixer, three, first?.code), finish(manager, three, second?.code)])
  expect(twoSheets.filter(({ status }) => status === 200)).toHaveLength(1)
  expect([(await sheetOf(first?.id)).state, (await sheetOf(second?.id)).state].toSorted()).toEqual(['entered', 'printed'])
  const loser = untouched[0]?.id === one.batchIds[0] ? one : two
  const against = await Promise.all([
    finish(mixer, loser, spoiled?.code),
    manager.post(`/blank-sheets/${spoiled?.id}/spoil`, { reason: 'torn' }),
  ])
  expect(against.map(({ status }) => status).toSorted()).toEqual([200, 409])
  expect((await proveStock(mill.db)).whole).toBe(true)
})

test('a time before the load was begun, or before its bags were made, is taken as it is written and told', async () => {
  const planned = await makePlannedOrder(mill.db)
  const [id = ''] = planned.batchIds
  const [weighing] = await makeSheets(mill.db, { kind: 'weighing' })
  const [collection] = await makeSheets(mill.db, { kind: 'collection' })
  await mixer.post(`/batches/${id}/start`, {}, { revision: 1 })
  const body = { weights: asPlanned(planned), madeKg: String(planned.loadKg), finishedAt: HALF_HOUR_AGO(), sheet: weighing?.code }
  const finished = await mixer.post(`/batches/${id}/finish`, body, { revision: 2 })
  expect(finished.status, finished.text).toBe(200)
  expect(await discrepancies({ batchId: id })).toEqual(['sheet-before-load'])
  const given = await handOver(planned.orderId, { collectionCode: '1234', collectedAt: ago(40 * MINUTE_MS), sheet: collection?.code })
  expect(given.status, given.text).toBe(200)
  expect(await discrepancies({ batchId: id })).toEqual(['sheet-before-load', 'sheet-before-load'])
})

test('bags of a load that nobody has entered yet cannot be handed over on paper either', async () => {
  const { orderId } = await makePlannedOrder(mill.db)
  const [sheet] = await makeSheets(mill.db, { kind: 'collection' })
  const reply = await handOver(orderId, { collectionCode: '1234', collectedAt: HALF_HOUR_AGO(), sheet: sheet?.code })
  expect(reply.problem()).toMatchObject({ code: 'wrong-state' })
  expect((await sheetOf(sheet?.id)).state).toBe('printed')
})

test('without a sheet the code is needed and the time is now', async () => {
  const { orderId } = await ready()
  expect(fault(await handOver(orderId, { collectionCode: null }))).toEqual(['bad-input', 'collectionCode', 'missing'])
  const told = await handOver(orderId, { collectionCode: '1234', collectedAt: HALF_HOUR_AGO() })
  expect(fault(told)).toEqual(['bad-input', 'collectedAt', 'needs-sheet'])
  const [sheet] = await makeSheets(mill.db, { kind: 'collection' })
  expect(fault(await handOver(orderId, { collectionCode: '1234', sheet: sheet?.code }))).toEqual(['bad-input', 'collectedAt', 'missing'])
})
