import { expect, test } from 'vitest'
import { HomeView } from '#contract/home'
import { DiscrepancyView } from '#contract/production'
import { makeVersion } from '../../support/builders/formulas.js'
import { makeLot } from '../../support/builders/lots.js'
import { prepareMill } from '../../support/builders/mill.js'
import { dayFromNow } from '../../support/builders/days.js'
import { makeOrder } from '../../support/builders/orders.js'
import { makePlannedOrder, mixAll } from '../../support/builders/production.js'
import { makeFlock } from '../../support/builders/members.js'
import { openMill, type SignedIn } from '../../support/mill.js'

const mill = await openMill()
await prepareMill(mill.db)
const manager = await mill.as('manager')
const mixer = await mill.as('mixer-operator')
const home = async (who: SignedIn) => {
  const reply = await who.get('/home')
  expect(reply.status, reply.text).toBe(200)
  return reply.as(HomeView)
}

// A day at the mill: one order ready, one load planned, one to plan, lots on hold with and without results, a formula to approve.
const member = await mill.newUser({ role: 'member' })
const ready = await makePlannedOrder(mill.db)
await mixAll(mixer, ready)
const planned = await makePlannedOrder(mill.db, { medication: { active: 'salinomycin sodium', mgPerKg: 60 } })
const own = await makeFlock(mill.db, { memberId: member.user.memberId ?? '' })
const toPlan = await makeOrder(mill.db, { flockId: own.id })
const untested = await makeLot(mill.db, { status: 'on-hold', assays: { CP: 8.4 } })
const tested = await makeLot(mill.db, { status: 'on-hold', assays: { CP: 8.4, moisture: 12 } })
const ending = await makeLot(mill.db, { expiresOn: dayFromNow(3), netKg: '120.000' })
const submitted = await makeVersion(mill.db, { status: 'submitted' })

test("the manager's home: what to decide, today's loads, what to hand over, what ends first, whole books", async () => {
  const view = await home(manager)
  expect(new Set(view.decide.map(({ kind, id }) => `${kind} ${id}`))).toEqual(
    new Set([`approve-version ${submitted.id}`, `release-lot ${tested.id}`, `plan-order ${toPlan.id}`]),
  )
  expect(view.loads).toMatchObject([{ id: planned.batchIds[0], medicated: true, status: 'planned' }])
  expect(view.loadsDone).toBe(1)
  expect(view.toHandOver).toMatchObject([{ id: ready.orderId, kg: '100.000' }])
  expect(view.endsFirst).toMatchObject([{ id: ending.id, daysLeft: 3, freeKg: '120.000' }])
  expect(view.booksWhole).toBe(true)
  expect(view.toTest).toEqual([])
})

test('the laboratory sees what to test first, the store what is on hold and whose move it is', async () => {
  const laboratory = await home(await mill.as('laboratory'))
  expect(laboratory.toTest).toMatchObject([{ id: untested.id, missing: ['moisture'] }])
  expect(laboratory.decide.map(({ id }) => id)).toEqual([tested.id])
  const store = await home(await mill.as('store-keeper'))
  expect(store.onHold.map(({ id, waitsFor }) => [id, waitsFor])).toEqual([
    [untested.id, 'tests'],
    [tested.id, 'decision'],
  ])
  expect([store.decide, store.formulas, store.booksWhole]).toEqual([[], [], null])
})

test('a member sees only their own orders, the nutritionist formulas, the clerk both sides of the counter', async () => {
  const mine = await home(member)
  expect(mine.orders.map(({ id }) => id)).toEqual([toPlan.id])
  expect([mine.decide, mine.loads, mine.toHandOver, mine.onHold, mine.endsFirst]).toEqual([[], [], [], [], []])
  expect((await home(await mill.newUser({ role: 'member' }))).orders).toEqual([])
  const nutritionist = await home(await mill.as('nutritionist'))
  expect(nutritionist.formulas.some(({ id, status }) => id === submitted.id && status === 'submitted')).toBe(true)
  const clerk = await home(await mill.as('counter-clerk'))
  expect(clerk.toHandOver.map(({ id }) => id)).toEqual([ready.orderId])
  expect(clerk.orders.map(({ id }) => id)).toContain(toPlan.id)
  expect((await home(mixer)).loads).toHaveLength(1)
})

test('nobody is asked to approve what they wrote', async () => {
  const nutritionist = await mill.as('nutritionist')
  const ownVersion = await makeVersion(mill.db, { status: 'submitted', authorId: nutritionist.user.id })
  expect((await home(nutritionist)).decide.map(({ id }) => id)).not.toContain(ownVersion.id)
  expect((await home(manager)).decide.map(({ id }) => id)).toContain(ownVersion.id)
})

test('a discrepancy stays open until the manager closes it with a reason, once', async () => {
  const batch = await makePlannedOrder(mill.db)
  await mixer.post(`/batches/${batch.batchIds[0] ?? ''}/start`, {}, { revision: 1 })
  await mixer.post(`/batches/${batch.batchIds[0] ?? ''}/weighings`, { part: 'load', position: 1, actualKg: '84.6' })
  const open = (await mixer.get('/discrepancies', { open: 'yes' })).as(DiscrepancyView.array())
  expect(open).toMatchObject([{ kind: 'outside-allowed-range', facts: { actualKg: '84.600', targetKg: '69.500' }, closedAt: null }])
  const [{ id } = { id: '' }] = open
  expect((await home(manager)).decide.find((item) => item.id === id)?.detail).toMatchObject({ actualKg: '84.600', targetKg: '69.500' })
  const close = (who: SignedIn, body: object, revision = 1) => who.post(`/discrepancies/${id}/close`, body, { revision })
  expect((await close(mixer, { reason: 'x' })).status).toBe(403)
  for (const body of [{ reason: '' }, { reason: '   ' }, {}, { reason: 'x', more: 1 }])
    expect((await close(manager, body)).status).toBe(400)
  expect((await close(manager, { reason: 'x' }, 5)).status).toBe(412)
  const replies = await Promise.all([close(manager, { reason: 'the scale was not empty' }), close(manager, { reason: 'another' })])
  expect(replies.map(({ status }) => status).toSorted()).toEqual([200, 412])
  expect((await close(manager, { reason: 'again' }, 2)).problem().code).toBe('wrong-state')
  expect((await manager.get('/discrepancies', { open: 'yes' })).body).toEqual([])
  expect((await manager.get('/discrepancies', { open: 'no' })).total).toBe(1)
  expect((await (await mill.as('member')).get('/discrepancies')).status).toBe(403)
})
