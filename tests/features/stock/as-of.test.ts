import { beforeAll, describe, expect, it } from 'vitest'
import { z } from 'zod'
import { StockAsOfView } from '#contract/stock'
import { grams } from '#core/quantity/mass'
import { reserveLots, writeOffFree } from '#features/stock/ledger'
import { newId } from '#platform/new-id'
import { makeLot } from '../../support/builders/lots.js'
import { prepareMill } from '../../support/builders/mill.js'
import { makeLedgerPlace, type LedgerPlace } from '../../support/builders/stock.js'
import { openMill } from '../../support/mill.js'

const mill = await openMill()
const HOUR = 3_600_000
const ago = (hours: number): Date => new Date(Date.now() - hours * HOUR)
let place: LedgerPlace
beforeAll(async () => {
  await prepareMill(mill.db)
  place = await makeLedgerPlace(mill.db)
})

const asOf = async (at: Date, more: { [name: string]: string } = {}) => {
  const reply = await (await mill.as('store-keeper')).get('/stock-as-of', { at: at.toISOString(), perPage: '200', ...more })
  return { rows: reply.as(z.array(StockAsOfView)), total: reply.total }
}

describe('the stock as of a past moment', () => {
  it('tells apart what was there and what the books said then', async () => {
    const lot = await makeLot(mill.db, { netKg: '400', receivedAt: ago(30) })
    const moved = (hours: number) => ({ id: newId(), happenedAt: ago(hours), actorId: place.actorId })
    await mill.db.$transaction((tx) => writeOffFree(tx, { ...moved(20), reason: 'spilt', lotId: lot.id, kg: grams(40_000) }))
    const lines = [{ lotId: lot.id, kg: '100' }]
    await mill.db.$transaction((tx) => reserveLots(tx, { ...moved(10), orderId: place.orderId, lines, today: '2026-11-25' }))
    const of = async (at: Date) => {
      const row = (await asOf(at)).rows.find(({ id }) => id === lot.id)
      return row && [row.happened.onHandKg, row.happened.reservedKg, row.entered.onHandKg, row.entered.reservedKg]
    }
    expect(await of(ago(31))).toBeUndefined()
    // Everything was entered just now, so the books of then had nothing.
    expect(await of(ago(25))).toEqual(['400.000', '0.000', '0.000', '0.000'])
    expect(await of(ago(15))).toEqual(['360.000', '0.000', '0.000', '0.000'])
    expect(await of(ago(5))).toEqual(['360.000', '100.000', '0.000', '0.000'])
    expect(await of(ago(-1))).toEqual(['360.000', '100.000', '360.000', '100.000'])
  })

  it('comes in pages, with the number of all lots, also past the last page', async () => {
    for (let made = 0; made < 5; made += 1) await makeLot(mill.db, { netKg: '10' })
    const all = await asOf(new Date())
    expect(all.total).toBe(all.rows.length)
    const second = await asOf(new Date(), { perPage: '2', page: '2' })
    expect(second).toEqual({ rows: all.rows.slice(2, 4), total: all.total })
    expect(await asOf(new Date(), { perPage: '2', page: '99' })).toEqual({ rows: [], total: all.total })
    const backwards = await asOf(new Date(), { order: 'desc' })
    expect(backwards.rows).toEqual(all.rows.toReversed())
  })

  it('equals for now the balances beside the ledger', async () => {
    const { rows } = await asOf(new Date(Date.now() + HOUR))
    const lots = await mill.db.lot.findMany({ orderBy: { number: 'asc' } })
    const told = lots.map((lot) => [lot.id, lot.onHandKg.toFixed(3), lot.reservedKg.toFixed(3)])
    expect(rows.map(({ id, happened }) => [id, happened.onHandKg, happened.reservedKg])).toEqual(told)
    expect(rows.map(({ id, entered }) => [id, entered.onHandKg, entered.reservedKg])).toEqual(told)
  })

  it('refuses a moment that is none, and is closed to members', async () => {
    const store = await mill.as('store-keeper')
    expect((await store.get('/stock-as-of')).problem()).toMatchObject({ code: 'bad-input', errors: [{ path: 'at' }] })
    expect((await store.get('/stock-as-of', { at: 'yesterday' })).problem()).toMatchObject({ errors: [{ path: 'at' }] })
    expect((await (await mill.as('member')).get('/stock-as-of', { at: new Date().toISOString() })).status).toBe(403)
  })
})
