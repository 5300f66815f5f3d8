import type { Facts } from '#core/errors'
import type { Actor } from '../actor.js'
import type { Tx } from '../database/client.js'
import { FIRST_PREVIOUS, hashEntry, type AuditFacts } from './chain.js'

export type Recorded = { readonly action: string; readonly entityType: string; readonly entityId: string; readonly facts: Facts }
export type RecordedBy = {
  readonly actor: Pick<Actor, 'userId' | 'name'> | null
  readonly now: Date
  readonly requestId?: string | undefined
}

// One lock for the whole chain. It is held until COMMIT, so the rows are appended last.
const CHAIN_LOCK = 'kinu audit chain'

/** Who did what nobody signed in did. */
export const NOBODY = { userId: 'system', name: 'Kinu' } as const

// What PostgreSQL gives back must hash as what was written: undefined members and the like are gone before the hash is taken.
const asStored = (facts: Facts): Facts => JSON.parse(JSON.stringify(facts)) as Facts

/** Appends rows to the chain; the head is read after the lock is held, in a statement of its own, so that it is the newest. */
export const appendAudit = async (tx: Tx, entries: readonly Recorded[], { actor, now, requestId = '' }: RecordedBy): Promise<void> => {
  await tx.$executeRaw`SELECT pg_advisory_xact_lock(hashtextextended(${CHAIN_LOCK}, 0))`
  const heads = await tx.$queryRaw<{ seq: bigint; hash: string }[]>`SELECT seq, hash FROM audit_entry ORDER BY seq DESC LIMIT 1`
  let seq = Number(heads[0]?.seq ?? 0)
  let prevHash = heads[0]?.hash ?? FIRST_PREVIOUS
  const { userId: actorId, name: actorName } = actor ?? NOBODY
  for (const { action, entityType, entityId, facts: told } of entries) {
    seq += 1
    const row: AuditFacts = {
      seq,
      at: now.toISOString(),
      actorId,
      actorName,
      action,
      entityType,
      entityId,
      facts: asStored(told),
      requestId,
    }
    const hash = hashEntry(row, prevHash)
    await tx.$executeRaw`
      INSERT INTO audit_entry (seq, at, actor_id, actor_name, action, entity_type, entity_id, facts, request_id, prev_hash, hash)
      VALUES (${seq}, ${row.at}::timestamptz, ${actorId}, ${actorName}, ${action}, ${entityType}, ${entityId},
              ${JSON.stringify(row.facts)}::jsonb, ${requestId}, ${prevHash}, ${hash})`
    prevHash = hash
  }
}
