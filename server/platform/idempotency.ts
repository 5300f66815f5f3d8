import { createHash } from 'node:crypto'
import canonicalize from 'canonicalize'
import { MillError } from '#core/errors'
import type { Db, Tx } from './database/client.js'

/** Whose request, on which route, with which key, and what was asked. */
export type Claim = { readonly actorId: string; readonly route: string; readonly key: string; readonly fingerprint: string }
export type StoredAnswer = { readonly status: number; readonly body: string }

// Visible characters; 255 is what other services allow.
const KEY = /^[\x21-\x7e]{1,255}$/
const KEPT_HOURS = 24

/** Reads the header in its quoted form (a structured-field string) and bare; undefined when there is none. */
export const readKey = (header: string | undefined): string | undefined => {
  if (header === undefined) return undefined
  const trimmed = header.trim()
  const quoted = /^"((?:[^"\\]|\\["\\])*)"$/.exec(trimmed)?.[1]
  const key = quoted === undefined ? trimmed : quoted.replace(/\\(["\\])/g, '$1')
  if (!KEY.test(key)) {
    throw new MillError('bad-input', {}, [{ path: 'Idempotency-Key', code: 'invalid_format', message: '1 to 255 visible characters' }])
  }
  return key
}

/** The same for the same request, whatever the order of its members. */
export const fingerprintOf = (request: unknown): string =>
  createHash('sha256')
    .update(canonicalize(request) ?? '', 'utf8')
    .digest('hex')

type Row = { fingerprint: string; status: number; body: string }

/** The answer kept under this key, if there is one; another request under the same key is refused. */
export const findAnswer = async (db: Db | Tx, claim: Claim): Promise<StoredAnswer | undefined> => {
  const rows = await db.$queryRaw<Row[]>`
    SELECT fingerprint, status, body FROM idempotency_key
    WHERE actor_id = ${claim.actorId} AND route = ${claim.route} AND key = ${claim.key} AND expires_at > now()`
  const row = rows[0]
  if (row === undefined) return undefined
  if (row.fingerprint !== claim.fingerprint) throw new MillError('idempotency-key-reused')
  return { status: row.status, body: row.body }
}

/** Keeps the answer under its key; part of the transaction of the effect, so that there is never one without the other. */
export const keepAnswer = async (tx: Tx, claim: Claim, answer: StoredAnswer): Promise<void> => {
  const kept = await tx.$executeRaw`
    INSERT INTO idempotency_key AS k (actor_id, route, key, fingerprint, status, body, created_at, expires_at)
    VALUES (${claim.actorId}, ${claim.route}, ${claim.key}, ${claim.fingerprint}, ${answer.status}, ${answer.body},
            now(), now() + make_interval(hours => ${KEPT_HOURS}))
    ON CONFLICT (actor_id, route, key) DO UPDATE
      SET fingerprint = excluded.fingerprint, status = excluded.status, body = excluded.body,
          created_at = excluded.created_at, expires_at = excluded.expires_at
      WHERE k.expires_at <= now()`
  if (kept !== 1) throw new MillError('idempotency-key-busy')
}
