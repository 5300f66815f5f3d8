import type { Facts } from '#core/errors'
import type { Db, Tx } from '../database/client.js'
import { FIRST_PREVIOUS, hashEntry, type AuditFacts } from './chain.js'

type Row = {
  seq: bigint
  at: Date
  actor_id: string
  actor_name: string
  action: string
  entity_type: string
  entity_id: string
  facts: Facts
  request_id: string
  prev_hash: string
  hash: string
}

export type ChainCheck =
  | { readonly ok: true; readonly rows: number; readonly headHash: string }
  | { readonly ok: false; readonly rows: number; readonly brokenAt: string; readonly reason: 'row-changed' | 'chain-broken' }

const BATCH = 2_000

const factsOf = (row: Row): AuditFacts => ({
  seq: Number(row.seq),
  at: row.at.toISOString(),
  actorId: row.actor_id,
  actorName: row.actor_name,
  action: row.action,
  entityType: row.entity_type,
  entityId: row.entity_id,
  facts: row.facts,
  requestId: row.request_id,
})

/**
 * Walks the whole chain. Whoever owns the database can rewrite all of it, or cut its tail, so `headHash` is only proof when it was
 * also written down outside.
 */
export const verifyAudit = async (db: Db | Tx): Promise<ChainCheck> => {
  let previousHash = FIRST_PREVIOUS
  let rows = 0
  for (;;) {
    const batch = await db.$queryRaw<Row[]>`SELECT * FROM audit_entry WHERE seq > ${rows} ORDER BY seq LIMIT ${BATCH}`
    for (const row of batch) {
      rows += 1
      const brokenAt = row.seq.toString()
      if (Number(row.seq) !== rows || row.prev_hash !== previousHash) return { ok: false, rows, brokenAt, reason: 'chain-broken' }
      if (hashEntry(factsOf(row), previousHash) !== row.hash) return { ok: false, rows, brokenAt, reason: 'row-changed' }
      previousHash = row.hash
    }
    if (batch.length < BATCH) return { ok: true, rows, headHash: previousHash }
  }
}
