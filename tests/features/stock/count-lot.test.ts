import { beforeAll, describe, expect, it } from 'vitest'
import { z } from 'zod'
import { HomeView } from '#contract/home'
import { ProposalView, StockChangeView } from '#contract/stock'
import { grams } from '#core/quantity/mass'
import { proveStock, releaseReservation, reserveLots, returnFree, writeOffFree } from '#features/stock/ledger'
import { newId } from '#platform/new-id'
import { balanceOf, makeLot, type BuiltLot } from '../../support/builders/lots.js'
import { prepareMill } from '../../support/builders/mill.js'
import { makeLedgerPlace, type LedgerPlace } from '../../support/builders/stock.js'
import { openMill, type SignedIn } from '../../support/mill.js'

const mill = await openMill()
const HOUR = 3_600_000
const ago = (hours: number): Date => new Date(Date.now() - hours * HOUR)
const delivered = ago(48)
let place: LedgerPlace
let store: SignedIn
let manager: SignedIn
beforeAll(async () => {
  await prepareMill(mill.db)
  place = await makeLedgerPlace(mill.db)
  store = await mill.as('store-keeper')
  manager = await mill.as('manager')
})

const lotOf = (netKg: string): Promise<BuiltLot> => makeLot(mill.db, { netKg, receivedAt: delivered })
const count = (lot: BuiltLot, countedKg: string, more: object = {}, by = store) =>
  by.post(`/lots/${lot.id}/count`, { countedKg, reason: 'monthly count', ...more })
const reserve = (lot: BuiltLot, kg: string, happenedAt = new Date()) =>
  mill.db.$transaction((tx) =>
    reserveLots(tx, {
      id: newId(),
      happenedAt,
      actorId: place.actorId,
      orderId: place.orderId,
      lines: [{ lotId: lot.id, kg }],
      today: '2026-11-25',
    }),
  )
const entriesOf = async (lot: BuiltLot) =>
  (await mill.db.stockEntry.findMany({ where: { lotId: lot.id, transfer: { kind: 'count' } }, orderBy: { id: 'asc' } })).map(
    ({ account, kg }) => `${account} ${kg.toFixed(3)}`,
  )
const waitingOf = async (lot: BuiltLot) =>
  (await manager.get('/stock-proposals', { lotId: lot.id, status: 'waiting' })).as(z.array(ProposalView))

describe('a count of a lot', () => {
  it('puts a small difference into the books at once, with its reason, and the history says so', async () => {
    const lot = await lotOf('400')
    const reply = await count(lot, '396.5')
    expect(reply.as(StockChangeView)).toMatchObject({
      outcome: 'recorded',
      differenceKg: '-3.500',
      missingKg: '0.000',
      onHandKg: '396.500',
      proposalNumber: null,
    })
    expect(await entriesOf(lot)).toEqual(['lot-free -3.500', 'unexplained 3.500'])
    const [audit] = await mill.db.auditEntry.findMany({ where: { entityId: lot.id, action: 'lot.counted' } })
    expect(audit?.facts).toMatchObject({ bookKg: '400.000', differenceKg: '-3.500', reason: 'monthly count' })
  })

  it('adds what turns up, and makes a used-up lot one that can be used again', async () => {
    const lot = await lotOf('4')
    expect((await count(lot, '0')).as(StockChangeView).onHandKg).toBe('0.000')
    expect((await balanceOf(mill.db, lot.id)).status).toBe('used-up')
    expect((await count(lot, '1.25')).as(StockChangeView)).toMatchObject({ outcome: 'recorded', differenceKg: '1.250' })
    expect(await balanceOf(mill.db, lot.id)).toEqual({ onHandKg: '1.250', reservedKg: '0.000', status: 'released' })
  })

  it('that agrees moves nothing and is still kept in the history', async () => {
    const lot = await lotOf('400')
    expect((await count(lot, '400')).as(StockChangeView)).toMatchObject({ outcome: 'agrees', differenceKg: '0.000' })
    expect(await entriesOf(lot)).toEqual([])
    expect(await mill.db.auditEntry.count({ where: { entityId: lot.id, action: 'lot.counted' } })).toBe(1)
  })

  it('is compared with the books of its own moment, not with those of now', async () => {
    const lot = await lotOf('400')
    await mill.db.$transaction(async (tx) => {
      await writeOffFree(tx, {
        id: newId(),
        happenedAt: ago(1),
        actorId: place.actorId,
        reason: 'spilt',
        lotId: lot.id,
        kg: grams(100_000),
      })
    })
    // Counted two hours ago: the 100 kg were spilt after that and are no difference.
    const reply = await count(lot, '398', { countedAt: ago(2).toISOString() })
    expect(reply.as(StockChangeView)).toMatchObject({ differenceKg: '-2.000', onHandKg: '298.000' })
  })

  it('refuses what cannot be, and names the field', async () => {
    const lot = await lotOf('400')
    const faults = async (body: object) => (await store.post(`/lots/${lot.id}/count`, body)).problem()
    expect(await faults({ countedKg: '-1', reason: 'x' })).toMatchObject({ code: 'bad-input', errors: [{ path: 'countedKg' }] })
    expect(await faults({ countedKg: '1.2345', reason: 'x' })).toMatchObject({ code: 'bad-input', errors: [{ path: 'countedKg' }] })
    expect(await faults({ countedKg: '1', reason: '  ' })).toMatchObject({ code: 'bad-input', errors: [{ path: 'reason' }] })
    expect(await faults({ countedKg: '1', reason: 'x', countedAt: ago(-1).toISOString() })).toMatchObject({
      code: 'bad-input',
      errors: [{ path: 'countedAt', code: 'in-the-future' }],
    })
    expect(await faults({ countedKg: '1', reason: 'x', countedAt: ago(49).toISOString() })).toMatchObject({
      code: 'bad-input',
      errors: [{ path: 'countedAt', code: 'before-delivery' }],
    })
    expect((await store.post(`/lots/${newId()}/count`, { countedKg: '1', reason: 'x' })).status).toBe(404)
    for (const role of ['mixer-operator', 'laboratory', 'member'] as const)
      expect((await count(lot, '400', {}, await mill.as(role))).status).toBe(403)
    expect(await balanceOf(mill.db, lot.id)).toMatchObject({ onHandKg: '400.000' })
  })

  it('of an earlier moment is refused once a later count stands, since it would count twice', async () => {
    const lot = await lotOf('400')
    await count(lot, '397')
    const problem = (await count(lot, '396', { countedAt: ago(1).toISOString() })).problem()
    expect(problem).toMatchObject({ code: 'wrong-state', errors: [{ path: 'countedAt', code: 'counted-later' }] })
    expect((await balanceOf(mill.db, lot.id)).onHandKg).toBe('397.000')
  })

  it('entered by two people at once changes the lot once', async () => {
    for (let round = 0; round < 5; round += 1) {
      const lot = await lotOf('400')
      const other = await mill.newUser({ role: 'store-keeper' })
      const replies = await Promise.all([count(lot, '397'), count(lot, '397', {}, other)])
      // Both may be taken (the second then agrees), or the one of the earlier moment is refused; never two differences.
      expect(replies.some(({ status }) => status === 200)).toBe(true)
      expect(replies.every(({ status }) => status === 200 || status === 409)).toBe(true)
      expect(await entriesOf(lot)).toEqual(['lot-free -3.000', 'unexplained 3.000'])
    }
  })

  it('sent twice under one key is one count', async () => {
    const lot = await lotOf('400')
    const key = newId()
    const body = { countedKg: '399', reason: 'sent again' }
    const first = await store.post(`/lots/${lot.id}/count`, body, { key })
    const again = await store.post(`/lots/${lot.id}/count`, body, { key })
    expect(again.text).toBe(first.text)
    expect(await entriesOf(lot)).toHaveLength(2)
  })
})

describe('a count below what is set aside', () => {
  it('takes what is free, keeps what orders hold in the books, holds the lot and opens a discrepancy that names the orders', async () => {
    const lot = await lotOf('400')
    await reserve(lot, '398')
    const reply = await count(lot, '396')
    expect(reply.as(StockChangeView)).toMatchObject({
      outcome: 'recorded',
      differenceKg: '-2.000',
      missingKg: '2.000',
      onHandKg: '398.000',
      reservedKg: '398.000',
    })
    expect(await mill.db.lot.findUnique({ where: { id: lot.id } })).toMatchObject({
      status: 'on-hold',
      statusReason: 'monthly count',
      decidedBy: store.user.id,
    })
    const open = await mill.db.discrepancy.findFirstOrThrow({ where: { lotId: lot.id } })
    expect(open.number).toBe(reply.as(StockChangeView).discrepancyNumber)
    const { number } = await mill.db.order.findUniqueOrThrow({ where: { id: place.orderId } })
    expect(open).toMatchObject({
      kind: 'count-below-reserved',
      facts: { kg: '2.000', countedKg: '396.000', bookKg: '400.000', orders: `${number} (398.000 kg)` },
    })
    await expect(reserve(lot, '1')).rejects.toThrow('lot-not-released')
    // The order is planned again without this lot, and the lot is counted again: now what is missing leaves the books.
    const moved = { id: newId(), happenedAt: new Date(), actorId: place.actorId, orderId: place.orderId }
    await mill.db.$transaction((tx) => releaseReservation(tx, { ...moved, lines: [{ lotId: lot.id, kg: '398' }], reason: 'planned again' }))
    expect((await count(lot, '396')).as(StockChangeView)).toMatchObject({ differenceKg: '-2.000', missingKg: '0.000', onHandKg: '396.000' })
  })
})

describe('a large difference', () => {
  it('waits, and nothing changes until a second person confirms it', async () => {
    const lot = await lotOf('400')
    expect((await count(lot, '380')).as(StockChangeView)).toMatchObject({
      outcome: 'waiting',
      differenceKg: '-20.000',
      onHandKg: '400.000',
    })
    expect(await entriesOf(lot)).toEqual([])
    const [waiting] = await waitingOf(lot)
    expect(waiting).toMatchObject({ kind: 'count', kg: '380.000', differenceKg: '-20.000', reason: 'monthly count', mine: false })
    const reply = await manager.post(`/stock-proposals/${waiting?.id}/confirm`, {}, { revision: 1 })
    expect(reply.as(ProposalView)).toMatchObject({ status: 'confirmed', decidedBy: manager.user.name, onHandKg: '380.000' })
    expect(await entriesOf(lot)).toEqual(['lot-free -20.000', 'unexplained 20.000'])
    const actions = await mill.db.auditEntry.findMany({ where: { entityId: lot.id }, orderBy: { seq: 'asc' } })
    expect(actions.map(({ action }) => action)).toEqual(['count.proposed', 'lot.counted', 'count.confirmed'])
  })

  it('stands on the home page of the managers who may decide, not on that of who entered it', async () => {
    const lot = await lotOf('400')
    const second = await mill.newUser({ role: 'manager' })
    await count(lot, '350', {}, second)
    const [waiting] = await waitingOf(lot)
    const decisions = async (who: SignedIn) => (await who.get('/home')).as(HomeView).decide.filter(({ id }) => id === waiting?.id)
    expect(await decisions(manager)).toMatchObject([
      { kind: 'stock-proposal', detail: { of: 'count', lotNumber: lot.number, differenceKg: '-50.000' } },
    ])
    expect(await decisions(second)).toEqual([])
  })

  it('is not confirmed by whoever entered it, nor by another role, nor in the database', async () => {
    const lot = await lotOf('400')
    await count(lot, '300', {}, manager)
    const [waiting] = await waitingOf(lot)
    const path = `/stock-proposals/${waiting?.id}/confirm`
    expect((await manager.post(path, {}, { revision: 1 })).problem().code).toBe('self-approval')
    expect((await manager.post(`/stock-proposals/${waiting?.id}/refuse`, { reason: 'x' }, { revision: 1 })).problem().code).toBe(
      'self-approval',
    )
    expect((await store.post(path, {}, { revision: 1 })).status).toBe(403)
    const direct = mill.db.stockProposal.update({
      where: { id: waiting?.id ?? '' },
      data: { status: 'confirmed', decidedBy: manager.user.id, decidedAt: new Date() },
    })
    await expect(direct).rejects.toThrow(/stock_proposal_two_people/)
    const second = await mill.newUser({ role: 'manager' })
    expect((await second.post(path, {}, { revision: 1 })).as(ProposalView).status).toBe('confirmed')
  })

  it('is refused with a reason, and then nothing moved and the lot can be counted again', async () => {
    const lot = await lotOf('400')
    await count(lot, '300')
    expect((await count(lot, '399')).problem()).toMatchObject({ code: 'wrong-state', errors: [{ path: 'id', code: 'one-waits' }] })
    const [waiting] = await waitingOf(lot)
    const path = `/stock-proposals/${waiting?.id}/refuse`
    expect((await manager.post(path, { reason: '  ' }, { revision: 1 })).problem()).toMatchObject({ errors: [{ path: 'reason' }] })
    const reply = await manager.post(path, { reason: 'a row of bags was not seen' }, { revision: 1 })
    expect(reply.as(ProposalView)).toMatchObject({ status: 'refused', decidedReason: 'a row of bags was not seen', onHandKg: '400.000' })
    expect((await count(lot, '399')).as(StockChangeView).outcome).toBe('recorded')
  })

  it('is confirmed once when two managers press at once, and stays decided', async () => {
    for (let round = 0; round < 5; round += 1) {
      const lot = await lotOf('400')
      await count(lot, '300')
      const [waiting] = await waitingOf(lot)
      const path = `/stock-proposals/${waiting?.id}`
      const second = await mill.newUser({ role: 'manager' })
      const replies = await Promise.all([
        manager.post(`${path}/confirm`, {}, { revision: 1 }),
        second.post(`${path}/confirm`, {}, { revision: 1 }),
      ])
      expect(replies.map(({ status }) => status).toSorted()).toEqual([200, 409])
      expect((await manager.post(`${path}/refuse`, { reason: 'late' }, { revision: 2 })).problem().code).toBe('wrong-state')
      expect(await entriesOf(lot)).toEqual(['lot-free -100.000', 'unexplained 100.000'])
    }
  })

  it('is not confirmed when the books of its moment became others meanwhile', async () => {
    const lot = await lotOf('400')
    await count(lot, '300')
    const taken = { id: newId(), happenedAt: ago(5), actorId: place.actorId, reason: 'entered late', lotId: lot.id, kg: grams(60_000) }
    await mill.db.$transaction((tx) => returnFree(tx, { ...taken, supplierId: lot.supplierId }))
    const [waiting] = await waitingOf(lot)
    const problem = (await manager.post(`/stock-proposals/${waiting?.id}/confirm`, {}, { revision: 1 })).problem()
    expect(problem).toMatchObject({ code: 'wrong-state', errors: [{ path: 'id', code: 'books-changed' }] })
    expect((await waitingOf(lot))[0]?.status).toBe('waiting')
    expect((await balanceOf(mill.db, lot.id)).onHandKg).toBe('340.000')
  })

  it('is one beyond the figures that the mill has set', async () => {
    await mill.db.mill.update({ where: { id: 1 }, data: { alonePct: '10', aloneKg: '0' } })
    const lot = await lotOf('400')
    expect((await count(lot, '360')).as(StockChangeView).outcome).toBe('recorded')
    // 10 % of the 400 kg received, not of the 360 kg left.
    expect((await count(lot, '319.999')).as(StockChangeView).outcome).toBe('waiting')
    await mill.db.mill.update({ where: { id: 1 }, data: { alonePct: '0.5', aloneKg: '5' } })
  })
})

it('leaves the books whole', async () => {
  expect((await proveStock(mill.db)).whole).toBe(true)
})
