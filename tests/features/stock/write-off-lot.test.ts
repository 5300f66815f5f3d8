import { beforeAll, describe, expect, it } from 'vitest'
import { z } from 'zod'
import { MovementView, ProposalView, StockChangeView } from '#contract/stock'
import { proveStock, reserveLots } from '#features/stock/ledger'
import { newId } from '#platform/new-id'
import { balanceOf, makeLot, type BuiltLot, type LotFacts } from '../../support/builders/lots.js'
import { prepareMill } from '../../support/builders/mill.js'
import { makeLedgerPlace, type LedgerPlace } from '../../support/builders/stock.js'
import { openMill, type SignedIn } from '../../support/mill.js'

const mill = await openMill()
let place: LedgerPlace
let store: SignedIn
let manager: SignedIn
beforeAll(async () => {
  await prepareMill(mill.db)
  place = await makeLedgerPlace(mill.db)
  store = await mill.as('store-keeper')
  manager = await mill.as('manager')
})

const lotOf = (netKg: string, facts: LotFacts = {}): Promise<BuiltLot> =>
  makeLot(mill.db, { netKg, receivedAt: new Date(Date.now() - 86_400_000), ...facts })
const writeOff = (lot: BuiltLot, kg: string, by = store) => by.post(`/lots/${lot.id}/write-off`, { kg, reason: 'wet from the roof' })
const giveBack = (lot: BuiltLot, kg: string, by = store) => by.post(`/lots/${lot.id}/return`, { kg, reason: 'sand found' })
const reverse = (id: string, by = manager) => by.post(`/stock-movements/${id}/reverse`, { reason: 'typed wrongly' })
const reserve = (lot: BuiltLot, kg: string) => {
  const moved = { id: newId(), happenedAt: new Date(), actorId: place.actorId, orderId: place.orderId }
  return mill.db.$transaction((tx) => reserveLots(tx, { ...moved, lines: [{ lotId: lot.id, kg }], today: '2026-11-25' }))
}
const movementsOf = async (lot: BuiltLot) =>
  (await store.get('/stock-movements', { lotId: lot.id, sort: 'enteredAt', order: 'asc' })).as(z.array(MovementView))
const lastOf = async (lot: BuiltLot) => (await movementsOf(lot)).at(-1)
const told = (movement: z.output<typeof MovementView> | undefined) => movement?.entries.map(({ account, kg }) => `${account} ${kg}`)
const holderNumber = async () => (await mill.db.order.findUniqueOrThrow({ where: { id: place.orderId } })).number

describe('a write-off of kilograms of a lot', () => {
  it('takes few at once as a loss, with the reason', async () => {
    const lot = await lotOf('400')
    expect((await writeOff(lot, '4.5')).as(StockChangeView)).toMatchObject({
      outcome: 'recorded',
      differenceKg: '-4.500',
      onHandKg: '395.500',
    })
    const movement = await lastOf(lot)
    expect(movement).toMatchObject({ kind: 'write-off', reason: 'wet from the roof', actor: store.user.name })
    expect(told(movement)).toEqual(['lot-free -4.500', 'loss 4.500'])
  })

  it('of many waits for the manager, who cannot be who entered it', async () => {
    const lot = await lotOf('400')
    expect((await writeOff(lot, '50')).as(StockChangeView)).toMatchObject({ outcome: 'waiting', onHandKg: '400.000' })
    const [waiting] = (await manager.get('/stock-proposals', { lotId: lot.id })).as(z.array(ProposalView))
    const reply = await manager.post(`/stock-proposals/${waiting?.id}/confirm`, {}, { revision: 1 })
    expect(reply.as(ProposalView)).toMatchObject({ status: 'confirmed', kind: 'write-off', onHandKg: '350.000' })
    // The movement is of whoever saw it spoilt; who stood for it is with the proposal and in the history.
    expect(await lastOf(lot)).toMatchObject({ kind: 'write-off', actor: store.user.name })
  })

  it('takes nothing that orders hold: it names the field, what is free and who holds the rest', async () => {
    const lot = await lotOf('400')
    await reserve(lot, '398')
    const problem = (await writeOff(lot, '2.001')).problem()
    expect(problem).toMatchObject({ code: 'stock-short', errors: [{ path: 'kg', code: 'more-than-free' }] })
    expect(problem.errors?.[0]?.facts).toMatchObject({
      freeKg: '2.000',
      holders: [{ orderNumber: await holderNumber(), kg: '398.000' }],
    })
    expect((await writeOff(lot, '2')).status).toBe(200)
  })

  it('that waits is not confirmed when the kilograms were set aside meanwhile, and still waits then', async () => {
    const lot = await lotOf('400')
    await writeOff(lot, '50')
    await reserve(lot, '360')
    const [waiting] = (await manager.get('/stock-proposals', { lotId: lot.id })).as(z.array(ProposalView))
    const problem = (await manager.post(`/stock-proposals/${waiting?.id}/confirm`, {}, { revision: 1 })).problem()
    expect(problem).toMatchObject({ code: 'stock-short', errors: [{ path: 'kg' }] })
    expect(await balanceOf(mill.db, lot.id)).toMatchObject({ onHandKg: '400.000', reservedKg: '360.000' })
  })

  it('refuses bad input and wrong roles, and names the field', async () => {
    const lot = await lotOf('400')
    for (const [body, path] of [
      [{ kg: '0', reason: 'x' }, 'kg'],
      [{ kg: '4', reason: ' ' }, 'reason'],
      [{ kg: '4', reason: 'x', happenedAt: '2020-01-01T00:00:00Z' }, 'happenedAt'],
      [{ kg: '4', reason: 'x', happenedAt: 'yesterday' }, 'happenedAt'],
    ] as const)
      expect((await store.post(`/lots/${lot.id}/write-off`, body)).problem()).toMatchObject({ code: 'bad-input', errors: [{ path }] })
    for (const role of ['laboratory', 'counter-clerk', 'member'] as const)
      expect((await writeOff(lot, '1', await mill.as(role))).status).toBe(403)
  })
})

describe('a return to the supplier', () => {
  it('gives back what nobody holds, of a rejected lot too', async () => {
    const lot = await lotOf('400', { status: 'rejected' })
    expect((await giveBack(lot, '400')).as(StockChangeView)).toMatchObject({ outcome: 'recorded', onHandKg: '0.000' })
    expect(await balanceOf(mill.db, lot.id)).toMatchObject({ status: 'rejected', onHandKg: '0.000' })
    expect(told(await lastOf(lot))).toEqual(['lot-free -400.000', 'supplier 400.000'])
  })

  it('gives back nothing that orders hold', async () => {
    const lot = await lotOf('400')
    await reserve(lot, '300')
    expect((await giveBack(lot, '100.001')).problem()).toMatchObject({
      code: 'stock-short',
      errors: [{ path: 'kg', code: 'more-than-free' }],
    })
    expect((await giveBack(lot, '100')).status).toBe(200)
    expect((await giveBack(lot, '1', await mill.as('mixer-operator'))).status).toBe(403)
  })

  it('and a reservation that want the same last kilograms: one gets them', async () => {
    for (let round = 0; round < 5; round += 1) {
      const lot = await lotOf('400')
      const [back, held] = await Promise.allSettled([giveBack(lot, '400'), reserve(lot, '1')])
      const returned = back.status === 'fulfilled' && back.value.status === 200
      expect(returned).toBe(held.status === 'rejected')
      expect((await balanceOf(mill.db, lot.id)).onHandKg).toBe(returned ? '0.000' : '400.000')
    }
  })
})

describe('taking a movement back', () => {
  it('mirrors it at the moment at which the wrong one was said to happen, and says which it takes back', async () => {
    const lot = await lotOf('400')
    await writeOff(lot, '4')
    const wrong = await lastOf(lot)
    expect(wrong).toMatchObject({ mayReverse: true, reversed: false })
    expect((await reverse(wrong?.id ?? '')).as(StockChangeView)).toMatchObject({ differenceKg: '4.000', onHandKg: '400.000' })
    const all = await movementsOf(lot)
    expect(all.find(({ id }) => id === wrong?.id)).toMatchObject({ reversed: true, mayReverse: false })
    const reversal = all.find(({ kind }) => kind === 'reversal')
    expect(reversal).toMatchObject({ reversesId: wrong?.id, happenedAt: wrong?.happenedAt, reason: 'typed wrongly', mayReverse: false })
    expect(told(reversal)).toEqual(['lot-free 4.000', 'loss -4.000'])
  })

  it('is done once, also when two managers press at once', async () => {
    for (let round = 0; round < 8; round += 1) {
      const lot = await lotOf('400')
      await giveBack(lot, '100')
      const id = (await lastOf(lot))?.id ?? ''
      const second = await mill.newUser({ role: 'manager' })
      const replies = await Promise.all([reverse(id), reverse(id, second)])
      expect(replies.map(({ status }) => status).toSorted()).toEqual([200, 409])
      expect(replies.find(({ status }) => status === 409)?.problem().code).toBe('wrong-state')
      expect((await balanceOf(mill.db, lot.id)).onHandKg).toBe('400.000')
    }
  })

  it('of a delivery works only while what it brought is still free', async () => {
    const lot = await lotOf('400')
    const receipt = (await movementsOf(lot))[0]?.id ?? ''
    await reserve(lot, '1')
    expect((await reverse(receipt)).problem()).toMatchObject({ code: 'stock-short', errors: [{ path: 'id', code: 'more-than-free' }] })
    const whole = await lotOf('400')
    expect((await reverse((await movementsOf(whole))[0]?.id ?? '')).as(StockChangeView).onHandKg).toBe('0.000')
    expect((await balanceOf(mill.db, whole.id)).status).toBe('used-up')
  })

  it('is refused for what belongs to an order or is a correction itself, for other roles, and without a reason', async () => {
    const lot = await lotOf('400')
    await reserve(lot, '10')
    const reservation = (await lastOf(lot))?.id ?? ''
    expect((await reverse(reservation)).problem()).toMatchObject({ code: 'wrong-state', facts: { kind: 'reservation' } })
    await giveBack(lot, '5')
    const back = (await lastOf(lot))?.id ?? ''
    expect((await reverse(back, store)).status).toBe(403)
    expect((await manager.post(`/stock-movements/${back}/reverse`, { reason: ' ' })).problem()).toMatchObject({
      errors: [{ path: 'reason' }],
    })
    await reverse(back)
    const correction = (await movementsOf(lot)).find(({ kind }) => kind === 'reversal')
    expect((await reverse(correction?.id ?? '')).problem().code).toBe('wrong-state')
    expect((await reverse(newId())).status).toBe(404)
  })
})

it('leaves the books whole', async () => {
  expect((await proveStock(mill.db)).whole).toBe(true)
})
