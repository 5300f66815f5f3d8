// npm run db:migrate: brings the database of DATABASE_URL to this version's tables, and ends.
import { buildOrStop } from './build.mjs'

buildOrStop(['client', 'server'])
const { readConfig } = await import('../dist/server/config.js')
const { migrationsFolder } = await import('../dist/server/place.js')
const { migrate } = await import('../dist/server/platform/database/migrate.js')

try {
  const { databaseUrl } = readConfig()
  if (databaseUrl === undefined)
    throw new Error('DATABASE_URL names the database. Without one npm start keeps its own, and brings it up to date itself.')
  const { applied, newest } = await migrate(databaseUrl, migrationsFolder)
  console.log(applied.length > 0 ? `Applied ${applied.join(', ')}` : `Nothing to do: the database is at ${newest}`)
} catch (error) {
  console.error(error instanceof Error ? error.message : error)
  process.exitCode = 1
}
