import type { FastifyInstance } from 'fastify'
import { afterAll } from 'vitest'
import { buildApp, type Feature } from '#server/app'
import { readConfig } from '#server/config'
import { openDatabase, type Db } from '#platform/database/client'
import type { Deps, SolverPool } from '#platform/deps'
import type { Role } from '#platform/actor'
import { createLogger } from '#platform/observability/logger'
import { createSolverPool } from '#platform/solver/pool'
import { Agent } from './agent.js'
import { cloneDatabase } from './database.js'
import { PASSWORD, createUser, type TestUser, type UserFacts } from './users.js'

export type Mill = {
  readonly app: FastifyInstance
  readonly db: Db
  readonly sql: Deps['sql']
  readonly pool: SolverPool
  readonly deps: Deps
  /** The owner's address, for what the service may not do. */
  readonly ownerUrl: string
  /** Somebody of that role, signed in for real; the same one each time. */
  readonly as: (role: Role) => Promise<SignedIn>
  /** A new user (a member comes with a member row), signed in for real. */
  readonly newUser: (facts: UserFacts) => Promise<SignedIn>
  /** Nobody. */
  readonly anonymous: () => Agent
  readonly close: () => Promise<void>
}
export type SignedIn = Agent & { readonly user: TestUser }

export type MillOptions = {
  /** Features on top of the mill's own. */
  readonly features?: readonly Feature[]
  readonly environment?: { readonly [name: string]: string }
  readonly clock?: () => Date
  readonly pool?: SolverPool
  /** Where the service finds the database, when not directly: a proxy that cuts, for example. */
  readonly through?: (url: string) => string
}

const TEST_ENVIRONMENT = {
  LOG_LEVEL: process.env['LOG_LEVEL'] ?? 'fatal',
  KINU_REQUESTS_PER_MINUTE: '1000000',
  KINU_DATABASE_CONNECTIONS: '8',
  // 0: never busy by this measure; a machine that runs many tests at once is slow without being overloaded.
  KINU_MAX_EVENT_LOOP_DELAY_MS: '0',
}

const signedIn = async (app: FastifyInstance, user: TestUser): Promise<SignedIn> => {
  const agent = new Agent(app)
  const reply = await agent.signIn(user.login, PASSWORD)
  if (reply.status !== 200) throw new Error(`The test user could not sign in: ${reply.text}`)
  return Object.assign(agent, { user })
}

/** The whole mill on a database of its own, built as in production. Call it at the top of a test file; it closes itself at the end. */
export const openMill = async (options: MillOptions = {}): Promise<Mill> => {
  const { FEATURES } = await import('#server/app')
  const database = await cloneDatabase()
  const config = readConfig({ ...TEST_ENVIRONMENT, ...options.environment })
  const {
    db,
    sql,
    close: closeDatabase,
  } = openDatabase({
    url: options.through?.(database.url) ?? database.url,
    maxConnections: config.databaseConnections,
  })
  const pool = options.pool ?? createSolverPool({ threads: 1, deadlineMs: config.solverDeadlineMs })
  const deps: Deps = { db, sql, pool, logger: createLogger(config.logLevel), ...(options.clock !== undefined && { clock: options.clock }) }
  const features = [...FEATURES, ...(options.features ?? [])]
  const app = await buildApp({ ...deps, config, features, sessionSecret: 'a secret that only the tests know 0', strictProblems: true })
  await app.ready()
  const known = new Map<Role, Promise<SignedIn>>()
  const newUser = async (facts: UserFacts): Promise<SignedIn> => signedIn(app, await createUser(db, facts))
  const close = async (): Promise<void> => {
    await app.close()
    if (options.pool === undefined) await pool.close()
    await closeDatabase()
    await database.drop()
  }
  afterAll(close)
  return {
    app,
    db,
    sql,
    pool,
    deps,
    ownerUrl: database.url,
    newUser,
    as: (role) => {
      const present = known.get(role) ?? newUser({ role })
      known.set(role, present)
      return present
    },
    anonymous: () => new Agent(app),
    close,
  }
}
