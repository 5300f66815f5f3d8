import { beforeEach, describe, expect, test, vi } from 'vitest'
import { z } from 'zod'
import { verifyAudit } from '#platform/audit/verify'
import { command, type CommandContext } from '#platform/command'
import { execute } from '#platform/execute'
import { openMill } from '../support/mill.js'
import { createTally, onTally, seen, tallyFeature } from '../support/tally.js'

const mill = await openMill({ features: [tallyFeature] })
await createTally(mill.ownerUrl)
const manager = await mill.as('manager')

const marks = async (): Promise<number> => Number((await onTally(mill.ownerUrl, 'SELECT count(*) AS n FROM tally')).rows[0]?.['n'])
const audits = (): Promise<number> => mill.db.auditEntry.count()
const added = (mark: string, kg = '82.000') => ({ mark, kg })

beforeEach(() => {
  seen.prepares = 0
  seen.runs = 0
  seen.gate = Promise.resolve()
})

describe('idempotency', () => {
  test('the same key with the same body gives the very same bytes and one effect', async () => {
    const before = [await marks(), await audits()] as const
    const first = await manager.post('/marks', added('once'), { key: 'once-1' })
    const second = await manager.post('/marks', { kg: '82.000', mark: 'once' }, { key: '"once-1"' })
    expect([first.status, second.status]).toEqual([201, 201])
    expect(second.text).toBe(first.text)
    expect(second.headers['idempotency-replayed']).toBe('true')
    expect([await marks(), await audits()]).toEqual([before[0] + 1, before[1] + 1])
    expect(seen).toMatchObject({ prepares: 1, runs: 1 })
  })

  test('the same key with another body is refused and writes nothing', async () => {
    await manager.post('/marks', added('reused'), { key: 'reused-1' })
    const before = await marks()
    const reply = await manager.post('/marks', added('another'), { key: 'reused-1' })
    expect(reply.status).toBe(422)
    expect(reply.problem().code).toBe('idempotency-key-reused')
    expect(await marks()).toBe(before)
  })

  test('a key belongs to the one who chose it', async () => {
    const clerk = await mill.as('counter-clerk')
    const mine = await manager.post('/marks', added('mine'), { key: 'shared' })
    const theirs = await clerk.post('/marks', added('theirs'), { key: 'shared' })
    expect([mine.status, theirs.status]).toEqual([201, 201])
    expect(theirs.body).toMatchObject({ mark: 'THEIRS' })
  })

  test('a write without a key, or with one that is none, is refused', async () => {
    const without = await mill.app.inject({ method: 'POST', url: '/api/v1/marks', payload: added('keyless'), headers: manager.headers() })
    expect(without.statusCode).toBe(400)
    expect(without.json()).toMatchObject({ code: 'idempotency-key-missing' })
    const long = await manager.post('/marks', added('keyless'), { key: 'k'.repeat(256) })
    expect(long.problem()).toMatchObject({ code: 'bad-input', errors: [{ path: 'Idempotency-Key' }] })
  })

  test('a twin of a request that is still running is told so, and there is one effect', async () => {
    let open: () => void = () => undefined
    seen.gate = new Promise((resolve) => (open = resolve))
    const first = manager.post('/marks', added('twin'), { key: 'twin-1' })
    await expect.poll(() => seen.runs).toBe(1)
    const twins = await Promise.all(Array.from({ length: 5 }, () => manager.post('/marks', added('twin'), { key: 'twin-1' })))
    expect(twins.map((twin) => [twin.status, twin.problem().code])).toEqual(Array.from({ length: 5 }, () => [409, 'idempotency-key-busy']))
    open()
    expect((await first).status).toBe(201)
    expect(Number((await onTally(mill.ownerUrl, "SELECT count(*) AS n FROM tally WHERE mark = 'TWIN'")).rows[0]?.['n'])).toBe(1)
  })

  test('a refused request is not kept: the same key may be tried again', async () => {
    await manager.post('/marks', added('taken'))
    const refused = await manager.post('/marks', added('taken'), { key: 'again' })
    expect([refused.status, refused.problem().code]).toEqual([409, 'already-exists'])
    const still = await manager.post('/marks', added('taken'), { key: 'again' })
    expect(still.status).toBe(409)
  })
})

describe('what a command leaves behind', () => {
  test('a command that records nothing fails and writes nothing', async () => {
    const before = await marks()
    const reply = await manager.post('/marks/silent', added('silent'))
    expect([reply.status, reply.problem().code]).toEqual([500, 'internal'])
    expect(await marks()).toBe(before)
  })

  test('an answer that does not fit its schema writes nothing', async () => {
    const before = await audits()
    expect((await manager.post('/marks/wrong')).status).toBe(500)
    expect(await audits()).toBe(before)
  })

  test('an answer carries only what its schema names', async () => {
    expect((await manager.post('/marks', added('narrow'))).text).not.toContain('secret')
  })

  test('the audit row says who, what and which', async () => {
    const reply = await manager.post('/marks', added('told'))
    const { id } = reply.as(z.object({ id: z.uuid() }))
    const row = await mill.db.auditEntry.findFirstOrThrow({ where: { entityId: id } })
    expect(row).toMatchObject({ actorId: manager.user.id, actorName: manager.user.name, action: 'mark.added', entityType: 'mark' })
    expect(row.facts).toEqual({ mark: 'told', kg: '82.000' })
    expect(row.requestId).toBe(reply.headers['x-request-id'])
  })
})

test('a revision is required, and a stale one refused', async () => {
  const path = '/marks/0199b5a0-0000-7000-8000-000000000000'
  const reply = await manager.patch(path, { kg: '1.000' })
  expect([reply.status, reply.problem().code]).toEqual([428, 'revision-missing'])
  const stale = await manager.patch(path, { kg: '1.000' }, { revision: 2 })
  expect([stale.status, stale.problem().code]).toEqual([412, 'stale-revision'])
  const fresh = await manager.patch(path, { kg: '1.000' }, { revision: 3 })
  expect(fresh.body).toEqual({ revision: 4 })
})

test('a list is an array with its total in a header', async () => {
  const reply = await manager.get('/marks')
  expect(reply.status).toBe(200)
  expect(reply.total).toBe(await marks())
  expect(reply.as(z.array(z.object({ mark: z.string() })))).toHaveLength(reply.total)
})

test('a transaction may last eight seconds, that of a long command thirty', async () => {
  const spec = { roles: ['manager'] as const, input: z.strictObject({}), output: z.object({}) }
  const run = async ({ record }: CommandContext) => {
    record('timed', 'mark', 'none')
    return {}
  }
  const begun = vi.spyOn(mill.db, '$transaction')
  const { id: userId, role, name } = manager.user
  const call = { actor: { userId, role, name, memberId: null, language: 'en' as const }, input: {} }
  await execute(mill.deps, command({ ...spec, run }), call)
  await execute(mill.deps, command({ ...spec, long: true, run }), call)
  expect(begun.mock.calls.map(([, options]) => options)).toMatchObject([{ timeout: 8000 }, { timeout: 30_000 }])
  begun.mockRestore()
})

test('run gets path, body and revision together, typed, and what prepare made', async () => {
  const add = command({
    roles: ['manager'],
    params: z.object({ id: z.uuid() }),
    input: z.strictObject({ kg: z.string() }),
    ifMatch: true,
    output: z.object({ sum: z.number() }),
    prepare: async () => ({ factor: 2 }),
    async run({ actor, record }, input, prepared) {
      record('typed', actor.role, input.id)
      return { sum: input.revision * prepared.factor + Number(input.kg) }
    },
  })
  const { id: userId, role, name } = manager.user
  const actor = { userId, role, name, memberId: null, language: 'en' as const }
  const input = { id: '0199b5a0-0000-7000-8000-000000000000', kg: '3', revision: 4 }
  expect((await execute(mill.deps, add, { actor, input })).value).toEqual({ sum: 11 })
})

test('the chain verifies; a changed and a removed row are found', async () => {
  for (const mark of ['chain a', 'chain b', 'chain c']) await manager.post('/marks', added(mark))
  const whole = await verifyAudit(mill.db)
  expect(whole).toMatchObject({ ok: true, rows: await audits() })
  const asOwner = (statement: string) =>
    onTally(
      mill.ownerUrl,
      `ALTER TABLE audit_entry DISABLE TRIGGER audit_entry_kept; ${statement}; ALTER TABLE audit_entry ENABLE TRIGGER audit_entry_kept`,
    )
  await asOwner(`UPDATE audit_entry SET facts = '{"kg":"99.000"}' WHERE seq = 2`)
  expect(await verifyAudit(mill.db)).toMatchObject({ ok: false, brokenAt: '2', reason: 'row-changed' })
  await asOwner('DELETE FROM audit_entry WHERE seq = 2')
  expect(await verifyAudit(mill.db)).toMatchObject({ ok: false, brokenAt: '3', reason: 'chain-broken' })
})

test('the service can neither change nor remove an audit row', async () => {
  for (const statement of ["UPDATE audit_entry SET action = 'x'", 'DELETE FROM audit_entry', 'TRUNCATE audit_entry']) {
    await expect(mill.sql.query(statement)).rejects.toMatchObject({ code: '42501' })
  }
})
