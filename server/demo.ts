import pg from 'pg'
import type { Db } from '#platform/database/client'
import type { Deps } from '#platform/deps'
import { appendAudit, NOBODY } from '#platform/audit/append'

/** What seed/index.ts gives. */
export type Seed = { readonly seedAll: (db: Db, options: { readonly demoPassword: string; readonly deps: Deps }) => Promise<unknown> }

const BEGUN = 'demo.begun'
const LOADED = 'demo.loaded'
const LOCK = 7_204_918_535

const mark = (db: Db, action: string): Promise<void> =>
  db.$transaction((tx) => appendAudit(tx, [{ action, entityType: 'mill', entityId: '1', facts: {} }], { actor: NOBODY, now: new Date() }))

type Loading = {
  readonly ownerUrl: string
  readonly deps: Deps
  /** The same over connections that do not wait for the disk at each COMMIT. */
  readonly loading: Deps
  readonly seed: Seed
  readonly password: string
  readonly say: (line: string) => void
}

const load = async ({ deps: { db }, loading, seed, password, say }: Loading): Promise<boolean> => {
  const happened = async (action: string): Promise<boolean> => (await db.auditEntry.count({ where: { action } })) > 0
  if (await happened(LOADED)) return false
  if (await happened(BEGUN)) {
    throw new Error('The demo was interrupted while it was loaded. Remove the data folder (or empty the database) and start again')
  }
  // Somebody's own mill, which never had the demo.
  if ((await db.appUser.count()) > 0) return false
  say('Loading the demo: three months of an invented cooperative')
  await mark(db, BEGUN)
  await seed.seedAll(loading.db, { demoPassword: password, deps: loading })
  await mark(db, LOADED)
  return true
}

/** Loads the invented cooperative once into an empty mill; of several processes that start together one does it while the others wait. */
export const loadDemoOnce = async (what: Loading): Promise<boolean> => {
  const client = new pg.Client({ connectionString: what.ownerUrl, application_name: 'kinu demo' })
  await client.connect()
  try {
    await client.query('SELECT pg_advisory_lock($1)', [LOCK])
    return await load(what)
  } finally {
    await client.end()
  }
}

/** The logins that the demo makes, in the order of the mill's day. */
export const DEMO_LOGINS = ['manager', 'nutritionist', 'store', 'laboratory', 'mixer', 'counter', 'member1'].map(
  (name) => `${name}@mlimakijani.example`,
)
