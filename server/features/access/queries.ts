import type pg from 'pg'
import type { SessionUser } from '#contract/access'
import type { Actor, Role } from '#platform/actor'
import type { Db } from '#platform/database/client'
import { normaliseLogin } from './login-name.js'

type Row = { id: string; name: string; role: Role; member_id: string | null; language: 'en' | 'sw' }

/** Read at every request, so that a disabled user is out at once and a changed role holds at once. */
export const actorOf = async (sql: pg.Pool, userId: string): Promise<Actor | null> => {
  const { rows } = await sql.query<Row>('SELECT id, name, role, member_id, language FROM app_user WHERE id = $1 AND disabled_at IS NULL', [
    userId,
  ])
  const row = rows[0]
  return row === undefined ? null : { userId: row.id, name: row.name, role: row.role, memberId: row.member_id, language: row.language }
}

/** The user behind a login, with the hash to compare; null for nobody and for a disabled user alike. */
export const findByLogin = async (db: Db, login: string) => {
  const user = await db.appUser.findUnique({ where: normaliseLogin(login) })
  return user === null || user.disabledAt !== null ? null : user
}

export const viewOf = ({ userId, name, role, memberId, language }: Actor): SessionUser => ({ id: userId, name, role, memberId, language })
