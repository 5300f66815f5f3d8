import type pg from 'pg'
import type { Logger } from 'pino'
import type { Db } from './database/client.js'
import type { SolverPool } from './solver/pool.js'

export type { SolverPool }

/** What endpoints and jobs work with; made once by main, and by the tests in the same way. */
export type Deps = {
  readonly db: Db
  /** The plain pool under `db`, for the session store and for throttling. */
  readonly sql: pg.Pool
  readonly pool: SolverPool
  readonly logger: Logger
  /** Replaces the database's clock; only for the demo's past and for tests about time. */
  readonly clock?: () => Date
}
