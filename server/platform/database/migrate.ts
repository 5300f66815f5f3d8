import { createHash, randomUUID } from 'node:crypto'
import { readFile, readdir } from 'node:fs/promises'
import { join } from 'node:path'
import pg from 'pg'
import { migrateJobs } from '../jobs/schema.js'

export type Migration = { readonly name: string; readonly sql: string; readonly checksum: string }
export type MigrationReport = { readonly applied: readonly string[]; readonly newest: string | undefined }

// Any number, the same for every process that migrates this database.
const LOCK = 7_204_918_533

// Prisma's own table, so that its tools read it too.
const LEDGER = `CREATE TABLE IF NOT EXISTS _prisma_migrations (
  id varchar(36) PRIMARY KEY, checksum varchar(64) NOT NULL, finished_at timestamptz, migration_name varchar(255) NOT NULL,
  logs text, rolled_back_at timestamptz, started_at timestamptz NOT NULL DEFAULT now(), applied_steps_count integer NOT NULL DEFAULT 0)`

/** The files of the folder in the order of their names. */
export const readMigrations = async (folder: string): Promise<Migration[]> => {
  const entries = await readdir(folder, { withFileTypes: true })
  const names = entries.filter((entry) => entry.isDirectory()).map((entry) => entry.name)
  return Promise.all(
    names.sort().map(async (name) => {
      const sql = await readFile(join(folder, name, 'migration.sql'), 'utf8')
      return { name, sql, checksum: createHash('sha256').update(sql, 'utf8').digest('hex') }
    }),
  )
}

type Done = { migration_name: string; checksum: string }

const refuseDrift = (done: readonly Done[], files: readonly Migration[]): void => {
  for (const { migration_name: name, checksum } of done) {
    const file = files.find((migration) => migration.name === name)
    if (file === undefined)
      throw new Error(`The database has the migration ${name}, which this version does not know; it is newer than this program`)
    if (file.checksum !== checksum)
      throw new Error(`The migration ${name} was changed after it was applied; changes go into a new migration`)
  }
}

// The whole file and its mark in one transaction: there is no half-applied migration. The lock ends with the transaction.
const applyOne = async (client: pg.Client, migration: Migration): Promise<boolean> => {
  await client.query('BEGIN')
  try {
    await client.query('SELECT pg_advisory_xact_lock($1)', [LOCK])
    const { rowCount } = await client.query('SELECT 1 FROM _prisma_migrations WHERE migration_name = $1', [migration.name])
    if (rowCount === 0) {
      await client.query(migration.sql)
      await client.query(
        'INSERT INTO _prisma_migrations (id, checksum, migration_name, finished_at, applied_steps_count) VALUES ($1, $2, $3, now(), 1)',
        [randomUUID(), migration.checksum, migration.name],
      )
    }
    await client.query('COMMIT')
    return rowCount === 0
  } catch (error) {
    await client.query('ROLLBACK').catch(() => undefined)
    throw new Error(
      `The migration ${migration.name} failed and was taken back: ${error instanceof Error ? error.message : String(error)}`,
      { cause: error },
    )
  }
}

const prepareLedger = async (client: pg.Client): Promise<void> => {
  await client.query('BEGIN')
  await client.query('SELECT pg_advisory_xact_lock($1)', [LOCK])
  await client.query(LEDGER)
  await client.query('COMMIT')
}

/** Brings the database, reached as its owner, to the newest migration of the folder. Any number of processes may call it at once. */
export const applyMigrations = async (ownerUrl: string, folder: string): Promise<MigrationReport> => {
  const files = await readMigrations(folder)
  const client = new pg.Client({ connectionString: ownerUrl, connectionTimeoutMillis: 5_000, application_name: 'kinu migrations' })
  await client.connect()
  try {
    await prepareLedger(client)
    const { rows } = await client.query<Done>('SELECT migration_name, checksum FROM _prisma_migrations WHERE finished_at IS NOT NULL')
    refuseDrift(rows, files)
    const applied: string[] = []
    for (const file of files) if (await applyOne(client, file)) applied.push(file.name)
    return { applied, newest: files.at(-1)?.name }
  } finally {
    await client.end()
  }
}

// The service reads how far the database is (for /health/ready), and no more of this table.
const grantReading = async (ownerUrl: string): Promise<void> => {
  const client = new pg.Client({ connectionString: ownerUrl, connectionTimeoutMillis: 5_000 })
  try {
    await client.connect()
    await client.query('GRANT SELECT ON _prisma_migrations TO kinu_app')
  } finally {
    await client.end()
  }
}

// PostgreSQL's insufficient_privilege, wherever in the chain of causes it stands.
const lacksRights = (error: unknown): boolean =>
  error instanceof Error && (('code' in error && error.code === '42501') || lacksRights(error.cause))

const told = (error: unknown, ownerUrl: string): unknown => {
  if (!lacksRights(error)) return error
  const { username, pathname } = new URL(ownerUrl)
  const [user, database] = [decodeURIComponent(username), decodeURIComponent(pathname.slice(1))]
  return new Error(
    `The database user "${user}" of DATABASE_URL may not do what the mill needs: it must own the database and be allowed to make roles. ` +
      `As an administrator of PostgreSQL: ALTER DATABASE "${database}" OWNER TO "${user}"; ALTER ROLE "${user}" CREATEROLE; ` +
      `where the role kinu_app exists already also GRANT kinu_app TO "${user}" WITH ADMIN OPTION. ` +
      `(PostgreSQL says: ${error instanceof Error ? error.message : String(error)})`,
    { cause: error },
  )
}

/** The tables of the mill and of its jobs. A user without the rights for them is told which it needs. */
export const migrate = async (ownerUrl: string, folder: string): Promise<MigrationReport> => {
  try {
    const report = await applyMigrations(ownerUrl, folder)
    await grantReading(ownerUrl)
    await migrateJobs(ownerUrl)
    return report
  } catch (error) {
    throw told(error, ownerUrl)
  }
}

/** Refuses a server that may lose what it acknowledged. */
export const refuseForgetfulServer = async (ownerUrl: string): Promise<void> => {
  const client = new pg.Client({ connectionString: ownerUrl, connectionTimeoutMillis: 5_000 })
  await client.connect()
  try {
    for (const setting of ['fsync', 'full_page_writes', 'synchronous_commit']) {
      const { rows } = await client.query<{ value: string }>('SELECT current_setting($1) AS value', [setting])
      if (rows[0]?.value === 'off')
        throw new Error(`PostgreSQL runs with ${setting} = off: it could forget what it confirmed. Switch it on`)
    }
  } finally {
    await client.end()
  }
}
