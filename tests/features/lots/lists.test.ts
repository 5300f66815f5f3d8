import { beforeAll, describe, expect, it } from 'vitest'
import { z } from 'zod'
import { LotView } from '#contract/lots'
import { bookLots, loadMixLots } from '#features/lots/lots-for-mix'
import { reserveLots } from '#features/stock/ledger'
import { newId } from '#platform/new-id'
import { makeLot } from '../../support/builders/lots.js'
import { prepareMill } from '../../support/builders/mill.js'
import { openMill } from '../../support/mill.js'

const mill = await openMill()
beforeAll(() => prepareMill(mill.db))
const today = '2026-11-25'

describe('lots in lists', () => {
  it('tells what waits for the laboratory from what waits for a decision', async () => {
    const untested = await makeLot(mill.db, { status: 'on-hold', assays: { CP: 8 } })
    const tested = await makeLot(mill.db, { status: 'on-hold', assays: { CP: 8, moisture: 12 } })
    const mineral = await makeLot(mill.db, { status: 'on-hold', ingredientId: 'salt' })
    const agent = await mill.as('laboratory')
    const numbers = async (query: { [name: string]: string }) =>
      (await agent.get('/lots', query)).as(z.array(LotView)).map(({ number }) => number)
    expect(await numbers({ waitsFor: 'tests' })).toEqual([untested.number])
    expect(await numbers({ waitsFor: 'decision', sort: 'number', order: 'asc' })).toEqual([tested.number, mineral.number])
    expect(await numbers({ ingredientId: 'salt' })).toEqual([mineral.number])
    expect(await numbers({ status: 'rejected,used-up' })).toEqual([])
    expect(await numbers({ q: 'Chumvi' })).toEqual([mineral.number])
  })

  it('takes a per cent sign and an underscore in the search for themselves', async () => {
    const marked = await makeLot(mill.db, { status: 'on-hold' })
    await mill.db.lot.update({ where: { id: marked.id }, data: { storagePlace: 'A_1, 50 % full\\dry' } })
    const agent = await mill.as('store-keeper')
    const found = async (q: string) => (await agent.get('/lots', { q })).as(z.array(LotView)).map(({ number }) => number)
    for (const q of ['%', '_', '50 %', 'a_1', 'full\\dry']) expect(await found(q), q).toEqual([marked.number])
    for (const q of ['A%1', '50_%', '%%', 'fulldry']) expect(await found(q), q).toEqual([])
    const other = { suppliers: 'suppliers', ingredients: 'ingredients', rules: 'safety-rules', movements: 'stock-movements' }
    for (const path of Object.values(other)) expect((await agent.get(`/${path}`, { q: '%_%' })).body, path).toEqual([])
  })

  it('is closed to members', async () => {
    const lot = await makeLot(mill.db)
    const member = await mill.as('member')
    expect((await member.get('/lots')).status).toBe(403)
    expect((await member.get(`/lots/${lot.id}`)).status).toBe(403)
  })

  it('gives a mix the lots it may take: released, unexpired, with something free', async () => {
    const free = await makeLot(mill.db, { netKg: '100', assays: { CP: 9, moisture: 12 } })
    const lastDay = await makeLot(mill.db, { expiresOn: today })
    const old = await makeLot(mill.db, { expiresOn: '2026-11-24' })
    const onHold = await makeLot(mill.db, { status: 'on-hold' })
    const rejected = await makeLot(mill.db, { status: 'rejected' })
    const taken = await makeLot(mill.db, { netKg: '10' })
    const movement = { id: newId(), happenedAt: new Date(), actorId: (await mill.as('manager')).user.id }
    const lines = [
      { lotId: taken.id, kg: '10' },
      { lotId: free.id, kg: '25.5' },
    ]
    await mill.db.$transaction((tx) => reserveLots(tx, { ...movement, lines, today }))
    const released = await loadMixLots(mill.db, { which: 'released', today })
    const ids = new Set(released.map(({ id }) => id))
    expect([free, lastDay].every(({ id }) => ids.has(id))).toBe(true)
    expect([old, onHold, rejected, taken].some(({ id }) => ids.has(id))).toBe(false)
    const mine = released.find(({ id }) => id === free.id)
    expect(mine).toMatchObject({ freeKg: '74.500', ingredientId: 'maize_white', category: 'cereal' })
    // The result is 9.0; the belief stays near it, pulled a little towards the book.
    expect(mine?.composition.values.CP).toMatchObject({ knownBy: 'measured', value: expect.closeTo(9, 0) })
    expect(mine?.composition.measured.CP?.value).toBe(9)
    const inStore = await loadMixLots(mill.db, { which: 'in-store', today })
    expect(inStore.some(({ id }) => id === onHold.id)).toBe(true)
    expect(inStore.some(({ id }) => id === rejected.id || id === old.id)).toBe(false)
  })

  it('gives book lots only of ingredients with a replacement price', async () => {
    await mill.db.ingredient.update({ where: { id: 'wheat_bran' }, data: { replacementPricePerKg: '27' } })
    const lots = await bookLots(mill.db)
    expect(lots.map(({ ingredientId }) => ingredientId)).toEqual(['wheat_bran'])
    expect(lots[0]).toMatchObject({ pricePerKg: '27.0000', number: 0 })
    expect(z.uuid().safeParse(lots[0]?.id).success).toBe(true)
    expect(lots[0]?.composition.values.CP.knownBy).not.toBe('unknown')
  })
})
