import { createHash } from 'node:crypto'
import type { Session } from 'fastify'
import type pg from 'pg'

type Done = (error?: unknown) => void
type Found = (error: unknown, session?: Session | null) => void

// Only the hash is kept: who reads the table cannot use what is in it.
const hashId = (sessionId: string): string => createHash('sha256').update(sessionId, 'utf8').digest('hex')

const settle = (work: Promise<unknown>, done: Done): void => {
  work.then(
    () => done(),
    (error: unknown) => done(error),
  )
}

/** Sessions in PostgreSQL, so that any process serves any request and a sign-out holds everywhere. */
export class SessionStore {
  constructor(private readonly sql: pg.Pool) {}

  get(sessionId: string, done: Found): void {
    this.sql.query<{ data: Session }>('SELECT data FROM session WHERE id_hash = $1 AND expires_at > now()', [hashId(sessionId)]).then(
      ({ rows }) => done(null, rows[0]?.data ?? null),
      (error: unknown) => done(error),
    )
  }

  set(sessionId: string, session: Session, done: Done): void {
    const expires = session.cookie.expires ?? new Date(Date.now() + SESSION_MS)
    settle(
      this.sql.query(
        `INSERT INTO session (id_hash, user_id, data, expires_at) VALUES ($1, $2, $3, $4)
         ON CONFLICT (id_hash) DO UPDATE SET user_id = excluded.user_id, data = excluded.data, expires_at = excluded.expires_at`,
        [hashId(sessionId), session.userId ?? null, JSON.stringify(session), new Date(expires)],
      ),
      done,
    )
  }

  destroy(sessionId: string, done: Done): void {
    settle(this.sql.query('DELETE FROM session WHERE id_hash = $1', [hashId(sessionId)]), done)
  }
}

/** A working day: who signs in in the morning is signed in until the evening, and not the next morning. */
export const SESSION_MS = 12 * 60 * 60 * 1000
