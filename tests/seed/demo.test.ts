import { expect, test } from 'vitest'
import { proveStock } from '#features/stock/prove-stock'
import { seedAll } from '#seed/index'
import { openMill } from '../support/mill.js'

const LOADED_AT = new Date('2026-11-25T12:00:00.000Z')
const mill = await openMill()
const tally = (rows: readonly { status: string }[]): Record<string, number> => {
  const counts: Record<string, number> = {}
  for (const { status } of rows) counts[status] = (counts[status] ?? 0) + 1
  return counts
}
const select = { status: true }

test('the demo is three months lived through the same commands, and its books agree', { timeout: 180_000 }, async () => {
  await seedAll(mill.db, { demoPassword: 'mortar and pestle', deps: { ...mill.deps, clock: () => LOADED_AT } })

  const orders = tally(await mill.db.order.findMany({ select }))
  expect(orders).toMatchObject({ planned: 2, 'being-mixed': 1, ready: 3, ordered: 3, cancelled: 1 })
  expect(orders['collected']).toBeGreaterThanOrEqual(18)
  const lots = tally(await mill.db.lot.findMany({ select }))
  expect(lots).toMatchObject({ 'on-hold': 4, rejected: 1 })
  expect(await mill.db.lot.count({ where: { status: 'on-hold', holdUntil: { gt: LOADED_AT } } })).toBe(1)
  const versions = tally(await mill.db.formulaVersion.findMany({ select }))
  expect(versions).toEqual({ approved: 10, submitted: 1, draft: 1 })
  expect(await mill.db.discrepancy.count({ where: { closedAt: null } })).toBe(1)

  const proof = await proveStock(mill.db)
  expect(proof).toMatchObject({ whole: true, sumKg: '0.000', unbalancedTransfers: 0, auditBrokenAt: null })
  const late = await mill.db.auditEntry.count({ where: { at: { gt: LOADED_AT } } })
  expect(late).toBe(0)

  const member = mill.anonymous()
  expect((await member.signIn('0700000201', 'mortar and pestle')).status).toBe(200)
  const own = await member.get('/orders')
  expect(own.total).toBeGreaterThan(0)
})
