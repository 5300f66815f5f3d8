import { mkdtemp, rm } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import pg from 'pg'
import type { TestProject } from 'vitest/node'
import { startEmbedded } from '#platform/database/embedded'
import { migrate } from '#platform/database/migrate'
import { migrationsFolder } from '#server/place'

declare module 'vitest' {
  interface ProvidedContext {
    /** The owner's address of the server's own database. */
    adminUrl: string
    templateName: string
  }
}

const withDatabase = (url: string, name: string): string => {
  const address = new URL(url)
  address.pathname = `/${name}`
  return address.href
}

const asOwner = async (url: string, statement: string): Promise<void> => {
  const client = new pg.Client({ connectionString: url })
  await client.connect()
  await client.query(statement).finally(() => client.end())
}

/** One PostgreSQL for the whole run (TEST_DATABASE_URL names a real one), with a migrated template that every test file clones. */
export default async (project: TestProject): Promise<() => Promise<void>> => {
  const given = process.env['TEST_DATABASE_URL']
  const folder = given === undefined ? await mkdtemp(join(tmpdir(), 'kinu-test-')) : undefined
  // Nothing here has to outlive the run, so the server need not wait for the disk.
  const settings = ['fsync=off', 'synchronous_commit=off', 'full_page_writes=off', 'max_connections=200']
  const embedded = folder === undefined ? undefined : await startEmbedded({ dataDir: folder, settings })
  const adminUrl = embedded?.url ?? given ?? ''
  const templateName = `kinu_template_${process.pid}`
  await asOwner(adminUrl, `CREATE DATABASE ${templateName}`)
  await migrate(withDatabase(adminUrl, templateName), migrationsFolder)
  project.provide('adminUrl', adminUrl)
  project.provide('templateName', templateName)
  return async () => {
    if (embedded === undefined) await asOwner(adminUrl, `DROP DATABASE IF EXISTS ${templateName} WITH (FORCE)`)
    await embedded?.stop()
    if (embedded !== undefined) await rm(embedded.dataFolder, { recursive: true, force: true })
    if (folder !== undefined) await rm(folder, { recursive: true, force: true })
  }
}
