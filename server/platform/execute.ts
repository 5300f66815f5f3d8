import { setTimeout as sleep } from 'node:timers/promises'
import { z } from 'zod'
import { MillError, type Facts } from '#core/errors'
import type { Actor } from './actor.js'
import { appendAudit, type Recorded } from './audit/append.js'
import type { Command, CommandContext } from './command.js'
import { TIMEOUT_MS, type Tx } from './database/client.js'
import { isConflict, translateDatabaseError } from './database/errors.js'
import type { Deps } from './deps.js'
import { findAnswer, keepAnswer, type Claim, type StoredAnswer } from './idempotency.js'
import { newId } from './new-id.js'

export type Call<In> = {
  readonly actor: Actor | null
  readonly input: In
  /** Without it nothing is kept and a repeat is a second effect. */
  readonly claim?: Claim | undefined
  readonly requestId?: string | undefined
  readonly newId?: () => string
}
export type Outcome<Out> = StoredAnswer & { readonly replayed: boolean; readonly value: Out | undefined }

/** Six tries: enough for a storm on one row, and still within the time a person waits. */
export const MAX_TRIES = 6
const FIRST_PAUSE_MS = 20
const LONGEST_PAUSE_MS = 500

// Full jitter: a random share of a doubling pause, so that those who collided do not meet again.
const pauseMs = (attempt: number): number => Math.random() * Math.min(LONGEST_PAUSE_MS, FIRST_PAUSE_MS * 2 ** attempt)

/** Writes a value as its schema says it travels; a value that does not fit is our fault, not the caller's. */
export const encodeAnswer = (schema: z.ZodType, value: unknown): string => {
  const encoded = z.safeEncode(schema, value)
  if (!encoded.success) throw new Error(`The answer does not fit its schema: ${z.prettifyError(encoded.error)}`, { cause: encoded.error })
  return JSON.stringify(encoded.data ?? null)
}

// The first statement of every transaction: the database's clock, and the key for ourselves. A twin that holds it is still running.
const open = async (tx: Tx, claim: Claim | undefined): Promise<Date> => {
  if (claim === undefined) {
    const [row] = await tx.$queryRaw<{ now: Date }[]>`SELECT now() AS now`
    return row?.now ?? new Date()
  }
  const name = JSON.stringify([claim.actorId, claim.route, claim.key])
  const [row] = await tx.$queryRaw<{ now: Date; mine: boolean }[]>`
    SELECT now() AS now, pg_try_advisory_xact_lock(hashtextextended(${name}, 1)) AS mine`
  if (row?.mine !== true) throw new MillError('idempotency-key-busy')
  return row.now
}

const enqueueIn =
  (tx: Tx): CommandContext['enqueue'] =>
  async (task, payload, options = {}) => {
    await tx.$executeRaw`
      SELECT graphile_worker.add_job(${task}, ${JSON.stringify(payload)}::json,
        run_at => ${options.runAt?.toISOString() ?? null}::timestamptz, job_key => ${options.jobKey ?? null}::text)`
  }

const runOnce = async <In extends object, Out>(deps: Deps, command: Command<In, Out>, call: Call<In>): Promise<Outcome<Out>> => {
  const { actor, input, claim } = call
  const ids = call.newId ?? newId
  const before = deps.clock?.() ?? new Date()
  const prepared = await command.prepare({ db: deps.db, actor, now: before, pool: deps.pool, newId: ids }, input)
  return deps.db.$transaction(
    async (tx) => {
      const databaseNow = await open(tx, claim)
      const kept = claim === undefined ? undefined : await findAnswer(tx, claim)
      if (kept !== undefined) return { ...kept, replayed: true, value: undefined }
      const now = deps.clock?.() ?? databaseNow
      const recorded: Recorded[] = []
      const record = (action: string, entityType: string, entityId: string, facts: Facts = {}): void => {
        recorded.push({ action, entityType, entityId, facts })
      }
      const value = await command.run({ tx, actor, now, newId: ids, record, enqueue: enqueueIn(tx) }, input, prepared)
      if (recorded.length === 0) throw new Error('A command recorded nothing; every write says what it did')
      const answer = { status: command.status, body: encodeAnswer(command.output, value) }
      if (claim !== undefined) await keepAnswer(tx, claim, answer)
      await appendAudit(tx, recorded, { actor, now, requestId: call.requestId })
      return { ...answer, replayed: false, value }
    },
    {
      isolationLevel: command.isolation === 'serializable' ? 'Serializable' : 'ReadCommitted',
      timeout: command.long ? TIMEOUT_MS.longTransaction : TIMEOUT_MS.transaction,
    },
  )
}

/**
 * The one way in which anything is written: the kept answer if there is one; else prepare, transaction, key, run, answer kept, audit row,
 * COMMIT; the whole again on a conflict, whether a statement or COMMIT reports it.
 */
export const execute = async <In extends object, Out>(deps: Deps, command: Command<In, Out>, call: Call<In>): Promise<Outcome<Out>> => {
  try {
    const kept = call.claim === undefined ? undefined : await findAnswer(deps.db, call.claim)
    if (kept !== undefined) return { ...kept, replayed: true, value: undefined }
    for (let attempt = 1; ; attempt += 1) {
      try {
        return await runOnce(deps, command, call)
      } catch (error) {
        if (attempt >= MAX_TRIES || !isConflict(error)) throw error
        await sleep(pauseMs(attempt))
      }
    }
  } catch (error) {
    throw translateDatabaseError(error)
  }
}
