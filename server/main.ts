import { createServer } from 'node:net'
import { resolve } from 'node:path'
import { pathToFileURL } from 'node:url'
import type { Logger } from 'pino'
import { openDatabase } from '#platform/database/client'
import { startEmbedded } from '#platform/database/embedded'
import { migrate, refuseForgetfulServer } from '#platform/database/migrate'
import type { Deps } from '#platform/deps'
import { housekeeping } from '#platform/jobs/housekeeping'
import { startWorker } from '#platform/jobs/worker'
import type { Readiness } from '#platform/observability/health'
import { createLogger } from '#platform/observability/logger'
import { createSolverPool } from '#platform/solver/pool'
import { buildApp, INTEGRITY_CHECKS } from './app.js'
import { ConfigError, readConfig, type Config } from './config.js'
import { loadDemoOnce, type Seed } from './demo.js'
import { migrationsFolder, projectFolder } from './place.js'
import { keptSecret, makeReadablePassword, makeSessionSecret } from './secrets.js'
import { installShutdown, type Shutdown } from './shutdown.js'

export type Started = {
  readonly address: string | undefined
  readonly demoPassword: string | undefined
  readonly dataFolder: string | undefined
}
type Say = (line: string) => void

const refuseTakenPort = ({ port, host }: Config): Promise<void> =>
  new Promise((free, refuse) => {
    const probe = createServer()
    probe.once('error', (error: NodeJS.ErrnoException) => {
      const reason = error.code === 'EADDRINUSE' ? 'is taken by another program' : `cannot be used (${error.code ?? error.message})`
      refuse(new Error(`Port ${port} on ${host} ${reason}. Name another in PORT, for example PORT=8081`))
    })
    probe.listen(port, host, () => probe.close(() => free()))
  })

type Server = { readonly ownerUrl: string; readonly dataFolder: string | undefined }

const openServer = async (config: Config, dataDir: string, logger: Logger, shutdown: Shutdown, say: Say): Promise<Server> => {
  if (config.databaseUrl !== undefined) return { ownerUrl: config.databaseUrl, dataFolder: undefined }
  const embedded = await startEmbedded({ dataDir, say, onLog: (line) => logger.debug({ part: 'postgresql' }, line) })
  shutdown.onClose('embedded PostgreSQL', embedded.stop)
  return { ownerUrl: embedded.url, dataFolder: embedded.dataFolder }
}

const serveApi = async (config: Config, deps: Deps, dataDir: string, readiness: Readiness, shutdown: Shutdown): Promise<string> => {
  const sessionSecret = config.sessionSecret ?? (await keptSecret(dataDir, 'session-secret', makeSessionSecret))
  const app = await buildApp({ ...deps, config, sessionSecret, readiness })
  shutdown.onClose('HTTP', () => app.close())
  return app.listen({ port: config.port, host: config.host })
}

type Showing = {
  readonly config: Config
  readonly dataDir: string
  readonly ownerUrl: string
  readonly deps: Deps
  readonly seed: Seed
  readonly say: Say
}

const showDemo = async ({ config, dataDir, ownerUrl, deps, seed, say }: Showing): Promise<string> => {
  const password = config.demoPassword ?? (await keptSecret(dataDir, 'demo-password', makeReadablePassword))
  // An interrupted demo is thrown away whole, so its commits need not wait for the disk one by one; the mark at its end does.
  const hasty = openDatabase({ url: ownerUrl, maxConnections: config.databaseConnections, settings: ['synchronous_commit=off'] })
  try {
    const loaded = await loadDemoOnce({ ownerUrl, deps, loading: { ...deps, db: hasty.db, sql: hasty.sql }, seed, password, say })
    if (loaded) say('Loaded the demo')
    return password
  } finally {
    await hasty.close()
  }
}

/** Starts the mill: database, tables, demo if wanted, then the roles of this process. */
export const startMill = async (config: Config, shutdown: Shutdown, logger: Logger, say: Say, seed?: Seed): Promise<Started> => {
  const dataDir = resolve(projectFolder, config.dataDir)
  if (config.roles.includes('api')) await refuseTakenPort(config)
  const { ownerUrl, dataFolder } = await openServer(config, dataDir, logger, shutdown, say)
  if (config.databaseUrl !== undefined) await refuseForgetfulServer(ownerUrl)
  const { newest: migration } = await migrate(ownerUrl, migrationsFolder)
  const { db, sql, close } = openDatabase({ url: ownerUrl, maxConnections: config.databaseConnections })
  shutdown.onClose('database', close)
  const pool = createSolverPool({ threads: config.solverThreads, deadlineMs: config.solverDeadlineMs })
  shutdown.onClose('solver', () => pool.close())
  const deps: Deps = { db, sql, pool, logger }
  const demoPassword = seed === undefined ? undefined : await showDemo({ config, dataDir, ownerUrl, deps, seed, say })
  if (config.roles.includes('worker')) {
    const worker = await startWorker(deps, housekeeping(INTEGRITY_CHECKS))
    shutdown.onClose('worker', worker.stop)
  }
  const readiness: Readiness = { draining: false, migration }
  const address = config.roles.includes('api') ? await serveApi(config, deps, dataDir, readiness, shutdown) : undefined
  shutdown.onClose('readiness', async () => {
    readiness.draining = true
  })
  return { address, demoPassword, dataFolder }
}

/** The demo's loader, where the configuration wants it; read only then. */
export const seedIfWanted = async (wanted: boolean): Promise<Seed | undefined> => (wanted ? await import('#seed/index') : undefined)

const say: Say = (line) => void process.stderr.write(`${line}\n`)

/** Runs the whole process; what cannot start is told in one plain message, and ends with 1. */
export const runProcess = async (demoByDefault: boolean, announce: (started: Started, config: Config) => void): Promise<void> => {
  let logger: Logger | undefined
  const shutdown = installShutdown(() => logger)
  // What Node warns of is for the log, not for the person at the terminal.
  process.removeAllListeners('warning')
  process.on('warning', (warning) => logger?.debug({ err: warning }, 'Node warns'))
  try {
    const config = readConfig()
    logger = createLogger(config.logLevel)
    const seed = await seedIfWanted(config.demo ?? demoByDefault)
    announce(await startMill(config, shutdown, logger, say, seed), config)
  } catch (error) {
    if (error instanceof ConfigError || logger === undefined) say(error instanceof Error ? error.message : String(error))
    else {
      logger.debug({ err: error }, 'could not start')
      say(`Kinu could not start: ${error instanceof Error ? error.message : String(error)}`)
    }
    await shutdown.close('could not start')
    process.exit(1)
  }
}

if (process.argv[1] !== undefined && import.meta.url === pathToFileURL(process.argv[1]).href) {
  await runProcess(false, ({ address }) => say(`Kinu runs${address === undefined ? ' as worker' : ` at ${address}`}`))
}
