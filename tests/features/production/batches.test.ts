import { expect, test } from 'vitest'
import { OrderDetailView } from '#contract/orders'
import { BatchDetailView, BatchView } from '#contract/production'
import { proveStock } from '#features/stock/ledger'
import { balanceOf, makeLot } from '../../support/builders/lots.js'
import { prepareMill } from '../../support/builders/mill.js'
import { dayFromNow } from '../../support/builders/days.js'
import { asPlanned, makePlannedOrder, mixAll, usualLines } from '../../support/builders/production.js'
import { openMill } from '../../support/mill.js'

const mill = await openMill()
await prepareMill(mill.db)
const mixer = await mill.as('mixer-operator')
const manager = await mill.as('manager')

const orderStatus = async (id: string) => (await mill.db.order.findUniqueOrThrow({ where: { id } })).status
const first = <T>(items: readonly T[]): T => {
  const [item] = items
  if (item === undefined) throw new Error('nothing there')
  return item
}
const openKinds = async (batchId: string) =>
  (await mill.db.discrepancy.findMany({ where: { batchId }, orderBy: { number: 'asc' } })).map(({ kind }) => kind)

test('a load goes from planned to bags: lots are issued, the order is ready, the books agree', async () => {
  const [maize, soya, salt] = await usualLines(mill.db)
  if (maize === undefined || soya === undefined || salt === undefined) throw new Error('nothing built')
  const planned = await makePlannedOrder(mill.db, { lines: [maize, soya], preBlend: [salt] })
  const id = first(planned.batchIds)
  const started = await mixer.post(`/batches/${id}/start`, {}, { revision: 1 })
  expect(started.status, started.text).toBe(200)
  expect(started.as(BatchDetailView).status).toBe('being-weighed')
  expect(await orderStatus(planned.orderId)).toBe('being-mixed')

  const weighed = await mixer.post(`/batches/${id}/weighings`, { part: 'load', position: 1, actualKg: '69.5' })
  expect(weighed.status, weighed.text).toBe(200)
  const rest = asPlanned(planned).slice(1)
  const done = await mixer.post(`/batches/${id}/finish`, { weights: rest, madeKg: '100.2' }, { revision: 2 })
  expect(done.status, done.text).toBe(200)
  const batch = done.as(BatchDetailView)
  expect(batch).toMatchObject({ status: 'done', madeKg: '100.200', bagsOnHandKg: '100.200' })
  expect(batch.lines.every(({ actualKg, outside }) => actualKg !== null && !outside)).toBe(true)
  expect(await orderStatus(planned.orderId)).toBe('ready')
  expect(await balanceOf(mill.db, salt.lotId)).toMatchObject({ onHandKg: '49.500', reservedKg: '0.000' })
  expect((await proveStock(mill.db)).whole).toBe(true)
})

test('an order of two loads is ready only with the second, also when both are finished at once', async () => {
  const planned = await makePlannedOrder(mill.db, { loads: 2 })
  for (const id of planned.batchIds) expect((await mixer.post(`/batches/${id}/start`, {}, { revision: 1 })).status).toBe(200)
  const finish = (id: string) => mixer.post(`/batches/${id}/finish`, { weights: asPlanned(planned), madeKg: '100' }, { revision: 2 })
  const replies = await Promise.all(planned.batchIds.map(finish))
  expect(replies.map(({ status }) => status)).toEqual([200, 200])
  expect(await orderStatus(planned.orderId)).toBe('ready')
})

test('two clients who finish the same load: one does, the other is told', async () => {
  const planned = await makePlannedOrder(mill.db)
  const id = first(planned.batchIds)
  await mixer.post(`/batches/${id}/start`, {}, { revision: 1 })
  const finish = (who: typeof mixer) => who.post(`/batches/${id}/finish`, { weights: asPlanned(planned), madeKg: '99.5' }, { revision: 2 })
  const replies = await Promise.all([finish(mixer), finish(manager)])
  expect(replies.map(({ status }) => status).toSorted()).toEqual([200, 412])
  expect(await mill.db.stockTransfer.count({ where: { batchId: id, kind: 'issue' } })).toBe(1)
  expect((await proveStock(mill.db)).whole).toBe(true)
})

test('a weight outside its range is taken, opens a discrepancy and says so; a correction keeps the first', async () => {
  const planned = await makePlannedOrder(mill.db)
  const id = first(planned.batchIds)
  await mixer.post(`/batches/${id}/start`, {}, { revision: 1 })
  const wrong = await mixer.post(`/batches/${id}/weighings`, { part: 'load', position: 2, actualKg: '33.5' })
  expect(wrong.status).toBe(200)
  expect(wrong.as(BatchDetailView).lines.find(({ position }) => position === 2)).toMatchObject({
    actualKg: '33.500',
    outside: true,
    earlierKg: [],
  })
  expect(await openKinds(id)).toEqual(['outside-allowed-range'])
  const right = await mixer.post(`/batches/${id}/weighings`, { part: 'load', position: 2, actualKg: '30.1' })
  const line = right.as(BatchDetailView).lines.find(({ position }) => position === 2)
  expect(line).toMatchObject({ actualKg: '30.100', outside: false, earlierKg: ['33.500'] })
  const again = (await mixer.get(`/batches/${id}`)).as(BatchDetailView)
  expect(again.lines.find(({ position }) => position === 2)).toEqual(line)
})

test('a load that is held before it began takes its weights, stays held, and its order is ready once it is let go', async () => {
  const planned = await makePlannedOrder(mill.db)
  const id = first(planned.batchIds)
  await manager.post(`/batches/${id}/hold`, { reason: 'wait for the test' }, { revision: 1 })
  const finished = await mixer.post(`/batches/${id}/finish`, { weights: asPlanned(planned), madeKg: '100' }, { revision: 2 })
  expect(finished.as(BatchDetailView)).toMatchObject({ status: 'on-hold', statusReason: 'wait for the test' })
  const { revision } = finished.as(BatchDetailView)
  expect((await manager.post(`/batches/${id}/release-hold`, { reason: 'test is clean' }, { revision })).as(BatchDetailView).status).toBe(
    'done',
  )
  expect(await orderStatus(planned.orderId)).toBe('ready')
})

test('weights of a load that nobody started are taken as facts, with a discrepancy', async () => {
  const weighedAt = new Date(Date.now() - 5 * 86_400_000).toISOString()
  const planned = await makePlannedOrder(mill.db)
  const id = first(planned.batchIds)
  const weighed = await mixer.post(`/batches/${id}/weighings`, {
    part: 'load',
    position: 1,
    actualKg: '69.5',
    weighedAt,
  })
  expect(weighed.as(BatchDetailView)).toMatchObject({ status: 'being-weighed', startedAt: weighedAt })
  expect(await openKinds(id)).toEqual(['weighed-before-start'])
})

test('a load is not finished while rows have no weight; each is named', async () => {
  const planned = await makePlannedOrder(mill.db)
  const id = first(planned.batchIds)
  await mixer.post(`/batches/${id}/start`, {}, { revision: 1 })
  const refused = await mixer.post(`/batches/${id}/finish`, { weights: asPlanned(planned).slice(1), madeKg: '100' }, { revision: 2 })
  expect(refused.status).toBe(400)
  expect(refused.problem().errors?.map(({ path }) => path)).toEqual(['weights.load.1'])
  expect(await mill.db.stockTransfer.count({ where: { batchId: id } })).toBe(0)
  const still = (await mixer.get(`/batches/${id}`)).as(BatchDetailView)
  expect(still.lines.every(({ actualKg }) => actualKg === null)).toBe(true)
})

test.each([
  { madeKg: '97.5', status: 'done', kinds: ['made-differs'] },
  { madeKg: '94.9', status: 'on-hold', kinds: ['made-differs'] },
  { madeKg: '106.0', status: 'on-hold', kinds: ['made-differs'] },
  { madeKg: '98.0', status: 'done', kinds: [] },
])('100 kg in and $madeKg kg out is $status', async ({ madeKg, status, kinds }) => {
  const planned = await makePlannedOrder(mill.db)
  const id = first(planned.batchIds)
  await mixer.post(`/batches/${id}/start`, {}, { revision: 1 })
  const reply = await mixer.post(`/batches/${id}/finish`, { weights: asPlanned(planned), madeKg }, { revision: 2 })
  expect(reply.as(BatchDetailView).status).toBe(status)
  expect(await openKinds(id)).toEqual(kinds)
  expect(await orderStatus(planned.orderId)).toBe(status === 'done' ? 'ready' : 'being-mixed')
  expect((await proveStock(mill.db)).whole).toBe(true)
})

test('weights that break a limit of the formula hold the load', async () => {
  const limits = { ingredients: [{ ingredientId: 'soybean_meal_44', minPct: 30, maxPct: 35 }] }
  const planned = await makePlannedOrder(mill.db, { formula: { limits } })
  const id = first(planned.batchIds)
  await mixer.post(`/batches/${id}/start`, {}, { revision: 1 })
  const weights = [
    { part: 'load', position: 1, actualKg: '74.5' },
    { part: 'load', position: 2, actualKg: '25' },
    { part: 'load', position: 3, actualKg: '0.5' },
  ]
  const reply = await mixer.post(`/batches/${id}/finish`, { weights, madeKg: '100' }, { revision: 2 })
  expect(reply.as(BatchDetailView)).toMatchObject({ status: 'on-hold', statusReason: 'limit-broken' })
  expect(await openKinds(id)).toContain('limit-broken')
})

test('more than the store holds is taken all the same and left to be explained', async () => {
  const planned = await makePlannedOrder(mill.db, { lines: await usualLines(mill.db, { maizeKg: '69.500' }) })
  const id = first(planned.batchIds)
  await mixer.post(`/batches/${id}/start`, {}, { revision: 1 })
  const weights = asPlanned(planned).map((weight, i) => (i === 0 ? { ...weight, actualKg: '69.8' } : weight))
  const reply = await mixer.post(`/batches/${id}/finish`, { weights, madeKg: '100.3' }, { revision: 2 })
  expect(reply.as(BatchDetailView).status, reply.text).toBe('done')
  expect(await openKinds(id)).toEqual(['more-than-in-store'])
  expect(await balanceOf(mill.db, first(planned.lines).lotId)).toEqual({ onHandKg: '0.000', reservedKg: '0.000', status: 'used-up' })
  expect((await proveStock(mill.db)).whole).toBe(true)
})

test('a load is not started when one of its lots was rejected or has expired since', async () => {
  for (const change of [{ status: 'rejected' }, { expiresOn: new Date('2020-01-01') }]) {
    const planned = await makePlannedOrder(mill.db)
    const id = first(planned.batchIds)
    await mill.db.lot.update({ where: { id: first(planned.lines).lotId }, data: change })
    const refused = await mixer.post(`/batches/${id}/start`, {}, { revision: 1 })
    expect(refused.status).toBe(422)
    expect(refused.problem().code).toBe('safety-block')
    expect((await mill.db.batch.findUniqueOrThrow({ where: { id } })).status).toBe('planned')
  }
})

test('a load is not started when the laboratory found poison in one of its lots since it was planned', async () => {
  const planned = await makePlannedOrder(mill.db)
  const id = first(planned.batchIds)
  const laboratory = await mill.as('laboratory')
  const result = { analyte: 'aflatoxin_B1', value: 500, unit: 'ug/kg', method: 'ELISA', measuredOn: dayFromNow(-1) }
  const recorded = await laboratory.post(`/lots/${first(planned.lines).lotId}/assays`, { laboratory: 'Own', results: [result] })
  expect(recorded.status, recorded.text).toBe(201)
  const refused = await mixer.post(`/batches/${id}/start`, {}, { revision: 1 })
  expect(refused.problem().code, refused.text).toBe('safety-block')
  expect((await mill.db.batch.findUniqueOrThrow({ where: { id } })).status).toBe('planned')
})

test('a load is not started when its birds outgrew the feed while it waited', async () => {
  const planned = await makePlannedOrder(mill.db)
  const id = first(planned.batchIds)
  const { flockId } = await mill.db.order.update({ where: { id: planned.orderId }, data: { dueOn: new Date('2020-01-01') } })
  await mill.db.flock.update({ where: { id: flockId }, data: { hatchedOn: new Date('2019-11-20'), laying: true } })
  // Pullets of six weeks on the day it was due, hens today: too little calcium (rule CA-05).
  expect((await mixer.post(`/batches/${id}/start`, {}, { revision: 1 })).problem().code).toBe('safety-block')
})

test("hens' feed does not follow a medicated load without a flush and a load without medicine between", async () => {
  const medicated = await makePlannedOrder(mill.db, { medication: { active: 'salinomycin sodium', mgPerKg: 60 } })
  const { mixerId } = medicated
  expect((await mixer.post(`/batches/${first(medicated.batchIds)}/start`, {}, { revision: 1 })).status).toBe(200)
  const [maize, soya, salt] = await usualLines(mill.db)
  if (maize === undefined || soya === undefined || salt === undefined) throw new Error('nothing built')
  const limestone = { lotId: (await makeLot(mill.db, { ingredientId: 'limestone' })).id, kg: 9.5 }
  const lines = [{ ...maize, kg: 60 }, soya, limestone, salt]
  const hens = await makePlannedOrder(mill.db, { mixerId, lines, formula: { stage: 'layer_peak' }, flock: { ageWeeks: 30 } })
  const start = (id: string, flushed: boolean) => mixer.post(`/batches/${id}/start`, { flushed }, { revision: 1 })
  const henId = first(hens.batchIds)
  expect((await start(henId, false)).problem().code).toBe('safety-block')
  expect((await start(henId, true)).problem().code).toBe('safety-block')
  const between = await makePlannedOrder(mill.db, { mixerId })
  const warned = await start(first(between.batchIds), false)
  const carriedOver = warned.as(BatchDetailView).findings.filter(({ topic }) => topic === 'carry-over')
  expect(carriedOver.map(({ severity }) => severity)).toEqual(['warn'])
  expect((await start(henId, false)).problem().code).toBe('safety-block')
  const passed = await start(henId, true)
  expect(passed.status, passed.text).toBe(200)
  const ofMixer = passed.as(BatchDetailView).findings.filter(({ topic }) => topic === 'carry-over')
  expect(ofMixer.map(({ ruleId }) => ruleId)).toEqual(['MIXER-FLUSHED'])
})

test("a time told too early for a medicated load makes no mixer clean for hens' feed", async () => {
  const medicated = await makePlannedOrder(mill.db, { medication: { active: 'salinomycin sodium', mgPerKg: 60 } })
  const { mixerId } = medicated
  const between = await makePlannedOrder(mill.db, { mixerId })
  expect((await mixer.post(`/batches/${first(between.batchIds)}/start`, { flushed: true }, { revision: 1 })).status).toBe(200)
  const weighedAt = new Date(Date.now() - 20 * 86_400_000).toISOString()
  const told = { part: 'load', position: 1, actualKg: '69.5', weighedAt }
  expect((await mixer.post(`/batches/${first(medicated.batchIds)}/weighings`, told)).status).toBe(200)
  const hens = await makePlannedOrder(mill.db, { mixerId, formula: { stage: 'layer_peak' }, flock: { ageWeeks: 30 } })
  const refused = await mixer.post(`/batches/${first(hens.batchIds)}/start`, { flushed: true }, { revision: 1 })
  expect(refused.problem().code).toBe('safety-block')
  expect(refused.text).toContain('after-medicated-load')
})

test('the manager holds a load and lets it go on; the order follows', async () => {
  const planned = await makePlannedOrder(mill.db)
  const id = first(planned.batchIds)
  await mixer.post(`/batches/${id}/start`, {}, { revision: 1 })
  await mixer.post(`/batches/${id}/finish`, { weights: asPlanned(planned), madeKg: '100' }, { revision: 2 })
  expect(await orderStatus(planned.orderId)).toBe('ready')
  const held = await manager.post(`/batches/${id}/hold`, { reason: 'a bag smells of mould' }, { revision: 3 })
  expect(held.as(BatchDetailView)).toMatchObject({ status: 'on-hold', statusReason: 'a bag smells of mould' })
  expect(await orderStatus(planned.orderId)).toBe('being-mixed')
  const freed = await manager.post(`/batches/${id}/release-hold`, { reason: 'it was the bag only' }, { revision: 4 })
  expect(freed.as(BatchDetailView).status).toBe('done')
  expect(await orderStatus(planned.orderId)).toBe('ready')
})

test('whoever mixes holds a load with a reason; only the manager lets it go on', async () => {
  const planned = await makePlannedOrder(mill.db)
  const id = first(planned.batchIds)
  const held = await mixer.post(`/batches/${id}/hold`, { reason: 'the sack is wet' }, { revision: 1 })
  expect(held.as(BatchDetailView)).toMatchObject({ status: 'on-hold', statusReason: 'the sack is wet' })
  expect((await mixer.post(`/batches/${id}/release-hold`, { reason: 'dried' }, { revision: 2 })).status).toBe(403)
  expect((await manager.post(`/batches/${id}/release-hold`, { reason: 'dried' }, { revision: 2 })).as(BatchDetailView).status).toBe(
    'planned',
  )
})

test('a load whose bags were collected is not held any more; hold and handing over at once leave one of both', async () => {
  const planned = await makePlannedOrder(mill.db)
  await mixAll(mixer, planned)
  const id = first(planned.batchIds)
  const { revision } = await mill.db.order.findUniqueOrThrow({ where: { id: planned.orderId } })
  const [held, collected] = await Promise.all([
    manager.post(`/batches/${id}/hold`, { reason: 'mould' }, { revision: 3 }),
    manager.post(`/orders/${planned.orderId}/collect`, { collectionCode: '1234' }, { revision }),
  ])
  const statuses = [held.status, collected.status]
  expect(statuses).toEqual(collected.status === 200 ? [409, 200] : [200, 412])
  if (held.status === 200) {
    await manager.post(`/batches/${id}/release-hold`, { reason: 'clean' }, { revision: 4 })
    const again = await mill.db.order.findUniqueOrThrow({ where: { id: planned.orderId } })
    await manager.post(`/orders/${planned.orderId}/collect`, { collectionCode: '1234' }, { revision: again.revision })
  }
  const batch = await mill.db.batch.findUniqueOrThrow({ where: { id } })
  const late = await manager.post(`/batches/${id}/hold`, { reason: 'mould' }, { revision: batch.revision })
  expect([late.status, late.problem().code]).toEqual([409, 'wrong-state'])
  expect(late.text).toContain('"status":"collected"')
  expect(batch.status).toBe('done')
})

test('bags that may not go out are written off: the order is ready with the others, or cancelled with none', async () => {
  const planned = await makePlannedOrder(mill.db, { loads: 2 })
  await mixAll(mixer, planned)
  const [one = '', two = ''] = planned.batchIds
  const order = () => mill.db.order.findUniqueOrThrow({ where: { id: planned.orderId } })
  const writeOff = (id: string, revision: number, who = manager) => who.post(`/batches/${id}/write-off`, { reason: 'mould' }, { revision })
  expect((await writeOff(two, 3, mixer)).status).toBe(403)
  await mixer.post(`/batches/${two}/hold`, { reason: 'mould' }, { revision: 3 })
  const gone = await writeOff(two, 4)
  expect(gone.as(BatchDetailView), gone.text).toMatchObject({ status: 'cancelled', bagsOnHandKg: '0.000', madeKg: '100.000' })
  const ready = await order()
  // 100 kg x 55.20
  expect([ready.status, ready.priceTotal.toFixed(2)]).toEqual(['ready', '5520.00'])
  expect((await writeOff(two, 5)).problem().code).toBe('wrong-state')
  expect((await writeOff(one, 3)).status).toBe(200)
  expect(await order()).toMatchObject({ status: 'cancelled', cancelReason: 'mould' })
  const unfinished = await makePlannedOrder(mill.db)
  expect((await writeOff(first(unfinished.batchIds), 1)).problem().code).toBe('wrong-state')
  expect((await proveStock(mill.db)).whole).toBe(true)
})

test.each([
  { madeKg: '99.9', priceTotal: '5514.48' },
  { madeKg: '99.873', priceTotal: '5512.99' },
  { madeKg: '100.2', priceTotal: '5520.00' },
])('of 100 kg ordered at 55.20 the member pays $priceTotal for $madeKg kg in bags, and is told', async ({ madeKg, priceTotal }) => {
  const planned = await makePlannedOrder(mill.db)
  const id = first(planned.batchIds)
  await mixer.post(`/batches/${id}/start`, {}, { revision: 1 })
  await mixer.post(`/batches/${id}/finish`, { weights: asPlanned(planned), madeKg }, { revision: 2 })
  const shown = (await manager.get(`/orders/${planned.orderId}`)).as(OrderDetailView)
  // 99.9 x 55.20 = 5514.48; 99.873 x 55.20 = 5512.9896; more than ordered is not charged
  expect(shown).toMatchObject({ kg: '100.000', baggedKg: Number(madeKg).toFixed(3), priceTotal })
  await manager.post(`/batches/${id}/hold`, { reason: 'wait' }, { revision: 3 })
  expect((await manager.get(`/orders/${planned.orderId}`)).as(OrderDetailView)).toMatchObject({ baggedKg: null, priceTotal: '5520.00' })
})

test('refuses wrong states, stale revisions, unknown rows, absurd weights and other roles; nothing is written', async () => {
  const planned = await makePlannedOrder(mill.db)
  const id = first(planned.batchIds)
  const clerk = await mill.as('counter-clerk')
  const member = await mill.as('member')
  expect((await clerk.post(`/batches/${id}/start`, {}, { revision: 1 })).status).toBe(403)
  expect((await member.get(`/batches/${id}`)).status).toBe(403)
  expect((await clerk.post(`/batches/${id}/hold`, { reason: 'no' }, { revision: 1 })).status).toBe(403)
  expect((await mixer.post(`/batches/${id}/hold`, { reason: ' ' }, { revision: 1 })).problem().errors?.map(({ path }) => path)).toEqual([
    'reason',
  ])
  expect((await mixer.post(`/batches/${id}/start`, {}, { revision: 7 })).status).toBe(412)
  expect((await mixer.post(`/batches/${id}/start`, { flushd: true }, { revision: 1 })).status).toBe(400)
  expect((await manager.post(`/batches/${id}/release-hold`, { reason: 'x' }, { revision: 1 })).problem().code).toBe('wrong-state')
  const unknown = await mixer.post(`/batches/${id}/weighings`, { part: 'load', position: 9, actualKg: '1' })
  expect(unknown.problem().errors?.map(({ path }) => path)).toEqual(['position'])
  for (const actualKg of ['-1', 'abc', '1e3', '1.2345', '']) {
    expect((await mixer.post(`/batches/${id}/weighings`, { part: 'load', position: 1, actualKg })).status).toBe(400)
  }
  const future = { part: 'load', position: 1, actualKg: '70', weighedAt: '2199-01-01T00:00:00.000Z' }
  expect((await mixer.post(`/batches/${id}/weighings`, future)).problem().errors?.map(({ path }) => path)).toEqual(['weighedAt'])
  const longAgo = { ...future, weighedAt: '2019-11-25T06:00:00.000Z' }
  expect((await mixer.post(`/batches/${id}/weighings`, longAgo)).problem().errors?.map(({ path }) => path)).toEqual(['weighedAt'])
  const slip = { part: 'load', position: 1, actualKg: '69500' }
  expect((await mixer.post(`/batches/${id}/weighings`, slip)).problem().errors?.map(({ path }) => path)).toEqual(['actualKg'])
  const made = await mixer.post(`/batches/${id}/finish`, { weights: asPlanned(planned), madeKg: '100000' }, { revision: 1 })
  expect(made.problem().errors?.map(({ path }) => path)).toEqual(['madeKg'])
  expect((await mixer.post(`/batches/00000000-0000-4000-8000-000000000000/start`, {}, { revision: 1 })).status).toBe(404)
  expect(await mill.db.batch.findUniqueOrThrow({ where: { id } })).toMatchObject({ status: 'planned', revision: 1 })
})

test('lists loads by state, order and lot, and finds them by number and member', async () => {
  const planned = await makePlannedOrder(mill.db, { loads: 2 })
  const list = async (query: { [name: string]: string }) => (await mixer.get('/batches', query)).as(BatchView.array())
  const ofOrder = await list({ orderId: planned.orderId, sort: 'number', order: 'asc' })
  expect(ofOrder.map(({ loadOfOrder, loadsOfOrder }) => [loadOfOrder, loadsOfOrder])).toEqual([
    [1, 2],
    [2, 2],
  ])
  expect((await list({ lotId: first(planned.lines).lotId })).length).toBe(2)
  const { number, memberName } = first(ofOrder)
  expect((await list({ q: String(number) })).some((batch) => batch.number === number)).toBe(true)
  expect((await list({ q: memberName.toUpperCase(), status: 'planned' })).every((batch) => batch.memberName === memberName)).toBe(true)
  expect((await list({ status: 'cancelled', orderId: planned.orderId })).length).toBe(0)
})
