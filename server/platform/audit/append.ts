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
  const rows = entries.map(({ action, entityType, entityId, facts: told }) => {
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
    const link = { row, prevHash, hash: hashEntry(row, prevHash) }
    prevHash = link.hash
    return link
  })
  const column = <Name extends 'action' | 'entityType' | 'entityId'>(name: Name): string[] => rows.map(({ row }) => row[name])
  // One statement, however many: a result that comes late can hold hundreds of loads, and their transaction lasts seconds.
  await tx.$executeRaw`
    INSERT INTO audit_entry (seq, at, actor_id, actor_name, action, entity_type, entity_id, facts, request_id, prev_hash, hash)
    SELECT r.seq, ${now.toISOString()}::timestamptz, ${actorId}, ${actorName}, r.action, r.entity_type, r.entity_id, r.facts::jsonb,
           ${requestId}, r.prev_hash, r.hash
    FROM unnest(${rows.map(({ row }) => row.seq)}::int8[], ${column('action')}::text[], ${column('entityType')}::text[],
                ${column('entityId')}::text[], ${rows.map(({ row }) => JSON.stringify(row.facts))}::text[],
                ${rows.map((row) => row.prevHash)}::text[], ${rows.map((row) => row.hash)}::text[])
      AS r (seq, action, entity_type, entity_id, facts, prev_hash, hash)
    ORDER BY r.seq`
}
