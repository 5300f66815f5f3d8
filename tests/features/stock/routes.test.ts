import { beforeAll, describe, expect, it } from 'vitest'
import { z } from 'zod'
import { MovementView, StockProofView } from '#contract/stock'
import { makeLot } from '../../support/builders/lots.js'
import { prepareMill } from '../../support/builders/mill.js'
import { openMill } from '../../support/mill.js'

const mill = await openMill()
beforeAll(() => prepareMill(mill.db))

describe('the ledger over HTTP', () => {
  it('shows the movements of a lot with their accounts', async () => {
    const lot = await makeLot(mill.db, { netKg: '80' })
    await makeLot(mill.db)
    const reply = await (await mill.as('store-keeper')).get('/stock-movements', { lotId: lot.id })
    expect(reply.total).toBe(1)
    const [movement] = reply.as(z.array(MovementView))
    expect(movement).toMatchObject({ kind: 'receipt', orderNumber: null })
    expect(movement?.entries.map(({ account, kg, lotNumber }) => ({ account, kg, lotNumber }))).toEqual([
      { account: 'supplier', kg: '-80.000', lotNumber: lot.number },
      { account: 'lot-free', kg: '80.000', lotNumber: lot.number },
    ])
  })

  it('proves itself to the manager only', async () => {
    const proof = (await (await mill.as('manager')).get('/stock-proof')).as(StockProofView)
    expect(proof).toMatchObject({ whole: true, sumKg: '0.000', auditBrokenAt: null })
    for (const role of ['store-keeper', 'laboratory', 'member'] as const)
      expect((await (await mill.as(role)).get('/stock-proof')).status).toBe(403)
  })

  it('is closed to members and refuses a filter that is no id', async () => {
    expect((await (await mill.as('member')).get('/stock-movements')).status).toBe(403)
    const reply = await (await mill.as('manager')).get('/stock-movements', { lotId: 'one' })
    expect(reply.problem()).toMatchObject({ code: 'bad-input', errors: [{ path: 'lotId' }] })
  })
})
