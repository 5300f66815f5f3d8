// npm run db:migrate: brings the database of DATABASE_URL to this version's tables, and ends.
import { buildOrStop } from './build.mjs'

buildOrStop(['client', 'server'])
await import('../dist/server/migrate.js')
