import { afterAll, expect, inject, test } from 'vitest'
import { verifyAudit } from '#platform/audit/verify'
import type { Reply } from '../support/agent.js'
import { startCuttingProxy } from '../support/cutting-proxy.js'
import { openMill, type SignedIn } from '../support/mill.js'
import { createTally, onTally, tallyFeature } from '../support/tally.js'

const proxy = await startCuttingProxy(inject('adminUrl'))
const mill = await openMill({ features: [tallyFeature], through: proxy.through })
afterAll(proxy.close)
await createTally(mill.ownerUrl)

const untilAnswered = async (agent: SignedIn, mark: string, key: string): Promise<{ reply: Reply; lost: number }> => {
  for (let lost = 0; lost < 10; lost += 1) {
    const reply = await agent.post('/marks', { mark, kg: '1.000' }, { key })
    if (reply.status === 201) return { reply, lost }
    expect([503, 409]).toContain(reply.status)
  }
  throw new Error('never answered')
}

test('an answer lost at COMMIT and asked for again with the same key is one effect and the same answer', async () => {
  const manager = await mill.as('manager')
  const operations = 40
  let unknown = 0
  for (let index = 0; index < operations; index += 1) {
    if (index % 2 === 0) proxy.cutNext(1)
    const { reply, lost } = await untilAnswered(manager, `lost ${index}`, `lost-${index}`)
    unknown += lost
    const again = await manager.post('/marks', { mark: `lost ${index}`, kg: '1.000' }, { key: `lost-${index}` })
    expect(again.text).toBe(reply.text)
    const { rows } = await onTally(mill.ownerUrl, `SELECT id FROM tally WHERE mark = 'LOST ${index}'`)
    expect(rows.map((row) => row['id'])).toEqual([(reply.body as { id: string }).id])
  }
  // The fault must have struck, or the test proves nothing.
  expect(proxy.cuts()).toBe(operations / 2)
  expect(unknown).toBeGreaterThanOrEqual(operations / 2)
  expect(await verifyAudit(mill.db)).toMatchObject({ ok: true, rows: operations })
})
