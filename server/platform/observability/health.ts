import type { FastifyInstance } from 'fastify'
import type pg from 'pg'

/** What this process says about itself to those who send it requests. */
export type Readiness = { draining: boolean; readonly migration: string | undefined }

// Longer than that and a request would time out as well.
const PROBE_MS = 500

const probe = async (sql: pg.Pool, expected: string | undefined): Promise<{ database: string; migrations: string }> => {
  const late = new Promise<never>((_resolve, reject) => {
    setTimeout(() => reject(new Error('too slow')), PROBE_MS).unref()
  })
  try {
    const { rows } = await Promise.race([
      sql.query<{ name: string | null }>('SELECT max(migration_name) AS name FROM _prisma_migrations WHERE finished_at IS NOT NULL'),
      late,
    ])
    const present = rows[0]?.name ?? ''
    return { database: 'ok', migrations: expected === undefined || present >= expected ? 'ok' : 'behind' }
  } catch {
    return { database: 'unreachable', migrations: 'unknown' }
  }
}

/** `/health/live` touches nothing; `/health/ready` names each thing that it depends on. */
export const installHealth = (app: FastifyInstance, sql: pg.Pool, readiness: Readiness): void => {
  const quiet = { schema: { hide: true }, logLevel: 'warn' } as const
  app.get('/health/live', quiet, async () => ({ status: 'live' }))
  app.get('/health/ready', quiet, async (_request, reply) => {
    const parts = { ...(await probe(sql, readiness.migration)), draining: readiness.draining }
    const ready = parts.database === 'ok' && parts.migrations === 'ok' && !parts.draining
    return reply.code(ready ? 200 : 503).send({ status: ready ? 'ready' : 'not-ready', ...parts })
  })
}
