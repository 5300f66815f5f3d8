import { beforeEach, describe, expect, test } from 'vitest'
import { verifyAudit } from '#platform/audit/verify'
import { isConflict, readDatabaseError, translateDatabaseError } from '#platform/database/errors'
import { MillError } from '#core/errors'
import { openMill } from '../support/mill.js'
import { createTally, onTally, seen, tallyFeature } from '../support/tally.js'

const mill = await openMill({ features: [tallyFeature] })
await createTally(mill.ownerUrl)
const manager = await mill.as('manager')

// Sequences do not go back with a transaction, so a trigger that counts with one strikes exactly so often.
await onTally(
  mill.ownerUrl,
  `CREATE TABLE fault (state text NOT NULL, times bigint NOT NULL);
   GRANT SELECT ON fault TO kinu_app;
   CREATE SEQUENCE struck; GRANT USAGE ON SEQUENCE struck TO kinu_app;
   CREATE FUNCTION strike() RETURNS trigger LANGUAGE plpgsql AS $$
   DECLARE planned record;
   BEGIN
     SELECT * INTO planned FROM fault;
     IF FOUND AND nextval('struck') <= planned.times THEN RAISE EXCEPTION 'struck' USING ERRCODE = planned.state; END IF;
     RETURN NEW;
   END $$`,
)

const strike = async (when: 'statement' | 'commit', state: string, times: number): Promise<void> => {
  const kind =
    when === 'commit'
      ? 'CONSTRAINT TRIGGER struck AFTER INSERT ON tally DEFERRABLE INITIALLY DEFERRED'
      : 'TRIGGER struck BEFORE INSERT ON tally'
  await onTally(
    mill.ownerUrl,
    `DROP TRIGGER IF EXISTS struck ON tally; TRUNCATE fault; ALTER SEQUENCE struck RESTART;
     INSERT INTO fault VALUES ('${state}', ${times}); CREATE ${kind} FOR EACH ROW EXECUTE FUNCTION strike()`,
  )
}

beforeEach(() => {
  seen.prepares = 0
  seen.runs = 0
})

describe.each(['statement', 'commit'] as const)('a conflict at %s', (when) => {
  test.each(['40001', '40P01'])('%s is tried again, prepare too, and shown to nobody', async (state) => {
    await strike(when, state, 3)
    const reply = await manager.post('/marks', { mark: `${when} ${state}`, kg: '1.000' })
    expect(reply.status).toBe(201)
    expect(seen).toMatchObject({ prepares: 4, runs: 4 })
    const { rows } = await onTally(mill.ownerUrl, `SELECT 1 FROM tally WHERE mark = upper('${when} ${state}')`)
    expect(rows).toHaveLength(1)
  })

  test('that never ends is given up after six tries, with 503 and nothing written', async () => {
    await strike(when, '40001', 1_000)
    const before = await mill.db.auditEntry.count()
    const reply = await manager.post('/marks', { mark: `${when} endless`, kg: '1.000' })
    expect([reply.status, reply.problem().code, reply.headers['retry-after']]).toEqual([503, 'busy', '1'])
    expect(seen.runs).toBe(6)
    expect(await mill.db.auditEntry.count()).toBe(before)
  })

  test('a broken check becomes a problem, by its shape at this place', async () => {
    await strike(when, '23514', 1)
    const reply = await manager.post('/marks', { mark: `${when} check`, kg: '1.000' })
    expect([reply.status, reply.problem().code]).toEqual([409, 'wrong-state'])
    expect(seen.runs).toBe(1)
  })

  test.each(['57014', '55P03', '57P01'])('%s is a 503 that may be tried later', async (state) => {
    await strike(when, state, 1)
    expect((await manager.post('/marks', { mark: `${when} ${state}`, kg: '1.000' })).status).toBe(503)
  })
})

test('constraints come with their name, whichever statement broke them', async () => {
  await strike('statement', '40001', 0)
  await manager.post('/marks', { mark: 'named', kg: '1.000' })
  const raw = await mill.db.$executeRaw`INSERT INTO tally VALUES (gen_random_uuid(), 'NAMED', 1)`.catch((error: unknown) => error)
  expect(readDatabaseError(raw)).toMatchObject({ sqlState: '23505', constraint: 'tally_mark_unique' })
  const check = await mill.db.$executeRaw`INSERT INTO tally VALUES (gen_random_uuid(), 'x', 0)`.catch((error: unknown) => error)
  expect(readDatabaseError(check)).toMatchObject({ sqlState: '23514', constraint: 'tally_kg_positive' })
  const { user } = await mill.as('laboratory')
  const twice = {
    ...(await mill.db.appUser.findUniqueOrThrow({ where: { id: user.id } })),
    id: '0199b5a0-0000-7000-8000-000000000001',
    phone: null,
  }
  const typed = await mill.db.appUser.create({ data: twice }).catch((error: unknown) => error)
  expect(readDatabaseError(typed)).toMatchObject({ sqlState: '23505', constraint: 'app_user_email_unique' })
  expect(translateDatabaseError(typed)).toMatchObject({ code: 'already-exists', fields: [{ path: 'email' }] })
  const orphan = await mill.db.flock
    .create({
      data: { id: twice.id, memberId: twice.id, name: 'x', flockType: 'layer', hatchedOn: new Date(), birds: 1, createdAt: new Date() },
    })
    .catch((error: unknown) => error)
  expect(readDatabaseError(orphan)).toMatchObject({ sqlState: '23503', constraint: 'flock_member_fk' })
})

test('an unbalanced stock transfer, found at COMMIT, is no answer that looks well', async () => {
  const { user } = await mill.as('store-keeper')
  const bare = await mill.db
    .$transaction((tx) =>
      tx.stockTransfer.create({
        data: { id: '0199b5a0-0000-7000-8000-000000000002', kind: 'count', happenedAt: new Date(), actorId: user.id },
      }),
    )
    .catch((error: unknown) => error)
  expect(readDatabaseError(bare)).toMatchObject({ sqlState: '23514' })
  expect(isConflict(bare)).toBe(false)
  expect(translateDatabaseError(bare)).toBeInstanceOf(MillError)
})

test('what is no fault of the database stays as it is', () => {
  const error = new TypeError('x is not a function')
  expect(translateDatabaseError(error)).toBe(error)
  expect(isConflict(error)).toBe(false)
})

// A slow machine may shed some of sixty at once; a client asks again with its key, as the answer tells it to.
const untilTaken = async (body: { mark: string; kg: string }, key: string, tries = 10): Promise<{ status: number }> => {
  const reply = await manager.post('/marks', body, { key })
  return reply.status === 503 && tries > 1 ? untilTaken(body, key, tries - 1) : reply
}

test('many at once append to one chain without a gap', async () => {
  await strike('statement', '40001', 0)
  const replies = await Promise.all(
    Array.from({ length: 60 }, (_, index) => untilTaken({ mark: `many ${index}`, kg: '1.000' }, `many-at-once-${index}`)),
  )
  expect(new Set(replies.map((reply) => reply.status))).toEqual(new Set([201]))
  expect(await verifyAudit(mill.db)).toMatchObject({ ok: true, rows: await mill.db.auditEntry.count() })
})
