import { beforeAll, describe, expect, it } from 'vitest'
import { SupplierView } from '#contract/suppliers'
import { z } from 'zod'
import { makeLot } from '../../support/builders/lots.js'
import { prepareMill } from '../../support/builders/mill.js'
import { makeSupplier } from '../../support/builders/suppliers.js'
import { openMill } from '../../support/mill.js'

const mill = await openMill()
beforeAll(() => prepareMill(mill.db))

describe('suppliers', () => {
  it('adds one, with nothing delivered yet', async () => {
    const store = await mill.as('store-keeper')
    const reply = await store.post('/suppliers', { name: ' Kilima Traders ', phone: '+254700000009', place: 'Kilima' })
    expect(reply.status).toBe(201)
    const supplier = reply.as(SupplierView)
    expect(supplier).toMatchObject({ name: 'Kilima Traders', place: 'Kilima', lots: 0, receivedKg: '0.000' })
    expect((await store.get(`/suppliers/${supplier.id}`)).as(SupplierView)).toEqual(supplier)
  })

  it('counts what each delivered', async () => {
    const supplier = await makeSupplier(mill.db)
    await makeLot(mill.db, { supplierId: supplier.id, netKg: '1200.5' })
    await makeLot(mill.db, { supplierId: supplier.id, netKg: '99.5' })
    const reply = await (await mill.as('manager')).get('/suppliers', { q: supplier.name })
    expect(reply.total).toBe(1)
    expect(reply.as(z.array(SupplierView))[0]).toMatchObject({ lots: 2, receivedKg: '1300.000' })
  })

  it.each([['mixer-operator'], ['laboratory'], ['counter-clerk'], ['nutritionist'], ['member']] as const)(
    'is not for a %s to add',
    async (role) => {
      const before = await mill.db.supplier.count()
      expect((await (await mill.as(role)).post('/suppliers', { name: 'Mine' })).status).toBe(403)
      expect(await mill.db.supplier.count()).toBe(before)
    },
  )

  it('is closed to members', async () => {
    expect((await (await mill.as('member')).get('/suppliers')).status).toBe(403)
  })

  it.each([
    ['an empty name', { name: ' ' }, 'name'],
    ['a misspelt field', { name: 'A', nmae: 'B' }, 'nmae'],
    ['a name that is too long', { name: 'x'.repeat(81) }, 'name'],
  ])('refuses %s and writes nothing', async (_what, body, path) => {
    const before = await mill.db.supplier.count()
    const reply = await (await mill.as('manager')).post('/suppliers', body)
    expect(reply.status).toBe(400)
    expect(reply.problem().errors?.map((error) => error.path)).toContain(path)
    expect(await mill.db.supplier.count()).toBe(before)
  })

  it('keeps one name for one supplier, in whatever case, and when two ask at once', async () => {
    const [one, two] = [await mill.as('manager'), await mill.as('store-keeper')]
    const replies = await Promise.all([one.post('/suppliers', { name: 'Twin Store' }), two.post('/suppliers', { name: 'Twin Store' })])
    expect(replies.map(({ status }) => status).sort()).toEqual([201, 409])
    const again = await one.post('/suppliers', { name: 'TWIN STORE' })
    expect(again.problem()).toMatchObject({ code: 'already-exists', errors: [{ path: 'name' }] })
  })

  it('answers 404 for nobody', async () => {
    expect((await (await mill.as('manager')).get('/suppliers/0197a3b2-0000-7000-8000-000000000000')).status).toBe(404)
  })
})
