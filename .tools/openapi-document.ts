// The OpenAPI document as the routes make it, without a database: nothing is asked while the application is only put together.
import pino from 'pino'
import { openDatabase } from '#platform/database/client'
import { buildApp } from '#server/app'

const unused = () => Promise.reject(new Error('the document needs no solver'))

export async function openApiDocument(): Promise<object> {
  const database = openDatabase({ url: 'postgresql://nobody@127.0.0.1:1/none', maxConnections: 1 })
  const app = await buildApp({
    db: database.db,
    sql: database.sql,
    pool: { run: unused, formulate: unused, close: () => Promise.resolve() },
    logger: pino({ level: 'silent' }),
    config: { requestsPerMinute: 1000, maxEventLoopDelayMs: 0, secureCookies: false, trustProxy: false },
    sessionSecret: 'x'.repeat(32),
  })
  await app.ready()
  try {
    return app.swagger()
  } finally {
    await app.close()
    await database.close()
  }
}
