import type { Db } from '#platform/database/client'
import type { Deps } from '#platform/deps'
import { loadDemo } from './demo/load.js'
import { loadReference } from './reference.js'

/** The published tables, then the invented cooperative that works with them. */
export const seedAll = async (db: Db, { demoPassword, deps }: { readonly demoPassword: string; readonly deps: Deps }): Promise<void> => {
  await loadReference(db)
  await loadDemo(deps, demoPassword)
}
