import { cp, mkdir, mkdtemp, readdir, rm, writeFile } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterEach, beforeEach, expect, test } from 'vitest'
import { applyMigrations, migrate } from '#platform/database/migrate'
import { migrationsFolder } from '#server/place'
import { bareDatabase, type TestDatabase } from '../support/database.js'
import { onTally as ask } from '../support/tally.js'

let database: TestDatabase
let folder: string

beforeEach(async () => {
  database = await bareDatabase()
  folder = await mkdtemp(join(tmpdir(), 'kinu-migrations-'))
})
afterEach(async () => {
  await database.drop()
  await rm(folder, { recursive: true })
})

const write = async (name: string, sql: string): Promise<void> => {
  await mkdir(join(folder, name), { recursive: true })
  await writeFile(join(folder, name, 'migration.sql'), sql)
}
const tables = async (): Promise<unknown[]> =>
  (await ask(database.url, "SELECT tablename FROM pg_tables WHERE schemaname = 'public' ORDER BY 1")).rows.map((row) => row['tablename'])

test('files are applied in the order of their names, once', async () => {
  await write('002_b', 'CREATE TABLE b AS SELECT * FROM a')
  await write('001_a', 'CREATE TABLE a (x int)')
  expect(await applyMigrations(database.url, folder)).toEqual({ applied: ['001_a', '002_b'], newest: '002_b' })
  expect(await applyMigrations(database.url, folder)).toEqual({ applied: [], newest: '002_b' })
  expect(await tables()).toEqual(['_prisma_migrations', 'a', 'b'])
})

test('a file that fails half-way leaves nothing of itself, and what came before it stays', async () => {
  await write('001_a', 'CREATE TABLE a (x int)')
  await write('002_b', 'CREATE TABLE b (x int); INSERT INTO nowhere VALUES (1)')
  await expect(applyMigrations(database.url, folder)).rejects.toThrow(/002_b failed and was taken back.*nowhere/)
  expect(await tables()).toEqual(['_prisma_migrations', 'a'])
  await write('002_b', 'CREATE TABLE b (x int)')
  expect((await applyMigrations(database.url, folder)).applied).toEqual(['002_b'])
})

test('a database user without the rights is told which it needs', async () => {
  const user = `poor_${process.pid}`
  await ask(database.url, `CREATE ROLE ${user} LOGIN PASSWORD 'poor'`)
  try {
    const url = Object.assign(new URL(database.url), { username: user, password: 'poor' }).href
    await expect(migrate(url, migrationsFolder)).rejects.toThrow(
      new RegExp(`user "${user}".*OWNER TO "${user}".*CREATEROLE.*permission denied`),
    )
    expect(await tables()).toEqual([])
  } finally {
    await ask(database.url, `DROP ROLE ${user}`)
  }
})

test('a file that was changed after it was applied is refused', async () => {
  await write('001_a', 'CREATE TABLE a (x int)')
  await applyMigrations(database.url, folder)
  await write('001_a', 'CREATE TABLE a (x bigint)')
  await write('002_b', 'CREATE TABLE b (x int)')
  await expect(applyMigrations(database.url, folder)).rejects.toThrow(/001_a was changed/)
  expect(await tables()).toEqual(['_prisma_migrations', 'a'])
})

test('a database that is newer than the program is refused', async () => {
  await write('001_a', 'CREATE TABLE a (x int)')
  await applyMigrations(database.url, folder)
  await rm(join(folder, '001_a'), { recursive: true })
  await expect(applyMigrations(database.url, folder)).rejects.toThrow(/newer/)
})

test('several processes that start together apply each file once', async () => {
  await write('001_a', 'CREATE TABLE a (x int)')
  await write('002_b', 'CREATE TABLE b (x int)')
  const reports = await Promise.all(Array.from({ length: 6 }, () => applyMigrations(database.url, folder)))
  expect(reports.flatMap(({ applied }) => applied).sort()).toEqual(['001_a', '002_b'])
})

test("the mill's own migrations make its tables and those of its jobs, twice without complaint", async () => {
  await cp(migrationsFolder, folder, { recursive: true })
  const names = (await readdir(migrationsFolder, { withFileTypes: true })).filter((entry) => entry.isDirectory()).map(({ name }) => name)
  expect((await migrate(database.url, folder)).applied).toEqual(names.sort())
  expect((await migrate(database.url, folder)).applied).toEqual([])
  expect(await tables()).toEqual(expect.arrayContaining(['audit_entry', 'idempotency_key', 'lot', 'session', 'stock_entry']))
  const { rows } = await ask(database.url, "SELECT count(*)::int AS n FROM pg_tables WHERE schemaname = 'graphile_worker'")
  expect(rows[0]?.['n']).toBeGreaterThan(0)
})
