import { z } from 'zod'
import type { FastifyInstance } from 'fastify'
import { reserveLots } from '#features/stock/ledger'
import { command } from '#platform/command'
import { KgString } from '#contract/quantities'
import { openDatabase } from '#platform/database/client'
import { route } from '#platform/http/route'
import { createLogger } from '#platform/observability/logger'
import { createSolverPool } from '#platform/solver/pool'
import { plainDate } from '#platform/mill-day'
import { FEATURES, buildApp } from '#server/app'
import { readConfig } from '#server/config'

/**
 * One API process of the mill on the database of DATABASE_URL, with one endpoint more: it sets kilograms of one lot aside through the
 * command pipeline and the ledger that planning uses, without the solving around it. Writes its address on standard output.
 */
const setAside = command({
  roles: ['store-keeper'],
  input: z.strictObject({ lotId: z.uuid(), kg: KgString }),
  output: z.object({ transferId: z.uuid() }),
  status: 201,
  async run({ tx, actor, now, newId, record }, { lotId, kg }) {
    const id = newId()
    await reserveLots(tx, { id, lines: [{ lotId, kg }], happenedAt: now, actorId: actor.userId, today: plainDate(now) })
    record('lot.set-aside', 'lot', lotId, { kg, transferId: id })
    return { transferId: id }
  },
})

const setAsideRoutes = (app: FastifyInstance): void =>
  route(app, 'POST', '/test-reservations', setAside, {
    operationId: 'setAside',
    tags: ['test'],
    summary: 'For tests',
    problems: ['stock-short', 'lot-not-released', 'lot-expired', 'not-found'],
  })

const config = readConfig()
const { db, sql, close } = openDatabase({ url: config.databaseUrl ?? '', maxConnections: config.databaseConnections })
const pool = createSolverPool({ threads: 1, deadlineMs: config.solverDeadlineMs })
const logger = createLogger(config.logLevel)
const features = [...FEATURES, setAsideRoutes]
const app = await buildApp({ db, sql, pool, logger, config, features, sessionSecret: config.sessionSecret ?? '', strictProblems: true })
process.stdout.write(`${await app.listen({ port: 0, host: '127.0.0.1' })}\n`)
process.once('SIGTERM', () => {
  void app
    .close()
    .then(() => pool.close())
    .then(close)
    .then(() => process.exit(0))
})
