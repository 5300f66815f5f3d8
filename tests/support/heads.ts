import type pg from 'pg'

export type Heads = { readonly audit: string; readonly ledger: string }

/** The last entry of the history and of the stock ledger: both stand still when nothing was written. */
export const headsOf = async (sql: pg.Pool): Promise<Heads> => {
  const { rows } = await sql.query<Heads>(`
    SELECT coalesce((SELECT seq || ' ' || hash FROM audit_entry ORDER BY seq DESC LIMIT 1), '') AS audit,
           coalesce((SELECT max(id) FROM stock_entry), 0)::text AS ledger`)
  return rows[0] ?? { audit: '', ledger: '' }
}

// Who is signed in, and how often somebody tried, is written by trying.
const BESIDE = ['session', 'login_throttle']

/** The question for every table. The tables of one database do not change while its tests run, so it is made once. */
const makeQuestion = async (sql: pg.Pool): Promise<string> => {
  const { rows: names } = await sql.query<{ name: string }>(
    `SELECT c.relname AS name FROM pg_class c JOIN pg_namespace n ON n.oid = c.relnamespace
     WHERE n.nspname = 'public' AND c.relkind = 'r' AND has_table_privilege(c.oid, 'SELECT') AND c.relname <> ALL($1) ORDER BY 1`,
    [BESIDE],
  )
  const parts = names.map(
    ({ name }) => `SELECT '${name}' AS name, count(*) || ' rows, newest ' || coalesce(max(xmin::text::bigint), 0) AS state FROM "${name}"`,
  )
  return parts.join(' UNION ALL ')
}
const questions = new WeakMap<pg.Pool, Promise<string>>()

/** Rows and newest change of every table, so that an insert, update or delete anywhere shows. */
export const tablesOf = async (sql: pg.Pool): Promise<{ readonly [table: string]: string }> => {
  const question = questions.get(sql) ?? makeQuestion(sql)
  questions.set(sql, question)
  // named, so that each connection plans it once
  const { rows } = await sql.query<{ name: string; state: string }>({ name: 'every-table', text: await question })
  return Object.fromEntries(rows.map(({ name, state }) => [name, state]))
}
