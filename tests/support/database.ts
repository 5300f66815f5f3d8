import { randomBytes } from 'node:crypto'
import pg from 'pg'
import { inject } from 'vitest'

const asOwner = async (url: string, statement: string): Promise<void> => {
  const client = new pg.Client({ connectionString: url })
  await client.connect()
  await client.query(statement).finally(() => client.end())
}

export type TestDatabase = { readonly url: string; readonly drop: () => Promise<void> }

const create = async (template: string): Promise<TestDatabase> => {
  const adminUrl = inject('adminUrl')
  const name = `kinu_test_${randomBytes(6).toString('hex')}`
  await asOwner(adminUrl, `CREATE DATABASE ${name} TEMPLATE ${template}`)
  const address = new URL(adminUrl)
  address.pathname = `/${name}`
  return { url: address.href, drop: () => asOwner(adminUrl, `DROP DATABASE IF EXISTS ${name} WITH (FORCE)`) }
}

/** A database of one's own, migrated and empty; the address is the owner's. */
export const cloneDatabase = (): Promise<TestDatabase> => create(inject('templateName'))

/** A database of one's own without anything in it. */
export const bareDatabase = (): Promise<TestDatabase> => create('template0')
