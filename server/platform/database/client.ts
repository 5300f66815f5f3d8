import { PrismaPg } from '@prisma/adapter-pg'
import pg from 'pg'
import { PrismaClient, type Prisma } from './generated/client.js'

/** Reads outside a transaction. */
export type Db = PrismaClient
/** The transaction client that a command gets; there is no way out of the transaction through it. */
export type Tx = Prisma.TransactionClient
export type { Prisma }

export type Database = { readonly db: Db; readonly sql: pg.Pool; readonly close: () => Promise<void> }

/**
 * Time-outs in milliseconds, each longer than the one inside it, so that the innermost speaks first. PostgreSQL's own time-outs
 * cannot help when the server is unreachable, so the client has one too.
 */
export const TIMEOUT_MS = {
  lock: 2_000,
  statement: 5_000,
  clientQuery: 6_000,
  transaction: 8_000,
  /** Of a command that says it is long. */
  longTransaction: 30_000,
  request: 10_000,
  idle: 10_000,
  connect: 2_000,
} as const

/** The role that the service works as: it can neither change tables nor rewrite ledger and audit rows. */
export const APP_ROLE = 'kinu_app'

type Opening = {
  readonly url: string
  readonly maxConnections: number
  /** Further settings of each connection, as `name=value`. */
  readonly settings?: readonly string[]
}

export const openDatabase = ({ url, maxConnections, settings = [] }: Opening): Database => {
  const sql = new pg.Pool({
    connectionString: url,
    max: maxConnections,
    connectionTimeoutMillis: TIMEOUT_MS.connect,
    query_timeout: TIMEOUT_MS.clientQuery,
    keepAlive: true,
    application_name: 'kinu',
    options: [
      `role=${APP_ROLE}`,
      `lock_timeout=${TIMEOUT_MS.lock}`,
      `statement_timeout=${TIMEOUT_MS.statement}`,
      `idle_in_transaction_session_timeout=${TIMEOUT_MS.idle}`,
      'timezone=UTC',
      ...settings,
    ]
      .map((setting) => `-c ${setting}`)
      .join(' '),
  })
  // A connection that dies while idle is replaced at the next use; without a listener it would end the process.
  sql.on('error', () => undefined)
  sql.on('connect', (client) => client.on('error', () => undefined))
  const db = new PrismaClient({
    adapter: new PrismaPg(sql, { disposeExternalPool: false }),
    transactionOptions: { maxWait: TIMEOUT_MS.connect, timeout: TIMEOUT_MS.transaction },
  })
  return {
    db,
    sql,
    close: async () => {
      await db.$disconnect()
      await sql.end()
    },
  }
}
