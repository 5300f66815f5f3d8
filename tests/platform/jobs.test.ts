import { expect, test } from 'vitest'
import { z } from 'zod'
import { command } from '#platform/command'
import { execute } from '#platform/execute'
import { housekeeping, purge, type IntegrityCheck } from '#platform/jobs/housekeeping'
import { startWorker } from '#platform/jobs/worker'
import { openMill } from '../support/mill.js'

const mill = await openMill()

const askFor = command({
  roles: 'public',
  input: z.strictObject({ fail: z.boolean() }),
  output: z.object({}),
  async run({ enqueue, record }, { fail }) {
    await enqueue('try', { fail })
    record('job.asked', 'job', 'x')
    if (fail) throw new Error('after all not')
    return {}
  },
})

test('a job runs when the command that asked for it is committed, and only then', async () => {
  const ran: unknown[] = []
  await expect(execute(mill.deps, askFor, { actor: null, input: { fail: true } })).rejects.toThrow('after all not')
  await execute(mill.deps, askFor, { actor: null, input: { fail: false } })
  const worker = await startWorker(mill.deps, { tasks: { try: async (payload) => void ran.push(payload) }, cron: [] })
  await expect.poll(() => ran, { timeout: 10_000 }).toEqual([{ fail: false }])
  await worker.stop()
})

test('what has expired is purged, and nothing else', async () => {
  const { user } = await mill.as('manager')
  const [past, future] = [new Date(Date.now() - 1_000), new Date(Date.now() + 60_000)]
  const key = { actorId: user.id, route: 'x', fingerprint: 'f', status: 200, body: '{}' }
  await mill.db.idempotencyKey.createMany({
    data: [
      { ...key, key: 'old', expiresAt: past },
      { ...key, key: 'new', expiresAt: future },
    ],
  })
  await mill.db.session.create({ data: { idHash: 'old', data: {}, expiresAt: past } })
  await purge(mill.deps)
  expect((await mill.db.idempotencyKey.findMany()).map((row) => row.key)).toEqual(['new'])
  expect(await mill.db.session.count({ where: { idHash: 'old' } })).toBe(0)
  expect(await mill.db.session.count({ where: { userId: user.id } })).toBe(1)
})

test('what must hold is looked at by the job of every hour, and what does not is told', async () => {
  const told: unknown[] = []
  const logger = Object.assign(Object.create(mill.deps.logger) as typeof mill.deps.logger, { error: (facts: unknown) => told.push(facts) })
  const broken: IntegrityCheck = async () => ['the books differ by 1 kg']
  const { tasks, cron } = housekeeping([broken])
  await tasks['check-integrity']?.({}, { ...mill.deps, logger })
  expect(told).toEqual([{ fault: 'the books differ by 1 kg' }])
  expect(cron.map((line) => line.split(' ')[5])).toEqual(['check-integrity', 'purge'])
})
