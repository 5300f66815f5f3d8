import { MillError, type ProblemCode } from '#core/errors'

type Bag = { readonly [name: string]: unknown }
const isBag = (value: unknown): value is Bag => typeof value === 'object' && value !== null
const text = (value: unknown): string | undefined => (typeof value === 'string' ? value : undefined)

/** What PostgreSQL said, out of either of the shapes in which Prisma hands it on. */
export type DatabaseFault = { readonly sqlState: string | undefined; readonly constraint: string | undefined; readonly message: string }

// Prisma's own code where the SQLSTATE is not carried along.
const STATE_OF_PRISMA: { readonly [code: string]: string } = {
  P2034: '40001',
  P2002: '23505',
  P2003: '23503',
  P2004: '23514',
  P2011: '23502',
}

// Quotes around a name differ by the server's language.
const NAME_IN_MESSAGE = /constraint ["«„“]([^"»“”]+)["»“”]/u

const driverCause = (error: Bag): Bag | undefined => {
  const meta = isBag(error['meta']) ? error['meta'] : undefined
  const adapter = meta !== undefined && isBag(meta['driverAdapterError']) ? meta['driverAdapterError'] : undefined
  if (adapter !== undefined && isBag(adapter['cause'])) return adapter['cause']
  return isBag(error['cause']) ? error['cause'] : undefined
}

/** Reads a known-request error (raised at a statement), a bare driver adapter error (raised at COMMIT) or an error of `pg` itself. */
export const readDatabaseError = (error: unknown): DatabaseFault | undefined => {
  if (!isBag(error)) return undefined
  const cause = driverCause(error)
  const prismaCode = text(error['code'])
  const kindState = cause?.['kind'] === 'TransactionWriteConflict' ? '40001' : undefined
  const meta = isBag(error['meta']) ? error['meta'] : undefined
  const own = prismaCode !== undefined && /^[0-9A-Z]{5}$/.test(prismaCode) && !prismaCode.startsWith('P2') ? prismaCode : undefined
  const sqlState =
    text(cause?.['originalCode']) ??
    kindState ??
    (prismaCode === undefined ? undefined : STATE_OF_PRISMA[prismaCode]) ??
    text(meta?.['code']) ??
    own
  const message = text(cause?.['originalMessage']) ?? text(cause?.['message']) ?? text(error['message']) ?? ''
  const constraintBag = isBag(cause?.['constraint']) ? cause['constraint'] : undefined
  const constraint = NAME_IN_MESSAGE.exec(message)?.[1] ?? text(constraintBag?.['index']) ?? text(error['constraint'])
  if (sqlState === undefined && prismaCode?.startsWith('P') !== true && !UNREACHABLE.test(message)) return undefined
  return { sqlState, constraint, message }
}

/** A unique key that only the order of two transactions can break: trying again cures it. */
const RACE_KEYS: ReadonlySet<string> = new Set(['audit_entry_pkey', 'idempotency_key_pk'])

/** Whether the whole may be run again: a serialization conflict, a deadlock, or a race for a key that we choose ourselves. */
export const isConflict = (error: unknown): boolean => {
  const fault = readDatabaseError(error)
  if (fault === undefined) return false
  if (fault.sqlState === '40001' || fault.sqlState === '40P01') return true
  return fault.sqlState === '23505' && fault.constraint !== undefined && RACE_KEYS.has(fault.constraint)
}

const UNREACHABLE =
  /timeout exceeded when trying to connect|Query read timeout|Connection terminated|not queryable|ECONNREFUSED|ECONNRESET|EPIPE|Can't reach database|Server has closed the connection|Unable to start a transaction|Transaction already closed|Transaction not found/

// Time-outs, too many connections, and a server that is going away or has no room: the same request may work later.
const LATER: ReadonlySet<string> = new Set([
  '40001',
  '40P01',
  '57014',
  '55P03',
  '57P01',
  '57P02',
  '57P03',
  '53300',
  '53100',
  '53200',
  '08006',
  '08003',
  '25P03',
])
const LATER_PRISMA = new Set(['P2028', 'P2024', 'P1001', 'P1002', 'P1008', 'P1017'])

type Meaning = { readonly code: ProblemCode; readonly path?: string; readonly message?: string }

/** What a broken constraint means to the caller, by the constraint's name. */
const BY_CONSTRAINT: { readonly [constraint: string]: Meaning } = {
  app_user_email_unique: { code: 'already-exists', path: 'email', message: 'somebody has this e-mail address already' },
  supplier_name_unique: { code: 'already-exists', path: 'name', message: 'there is a supplier of this name already' },
  assay_superseded_once: { code: 'wrong-state', path: 'results', message: 'this result was corrected already' },
  app_user_phone_unique: { code: 'already-exists', path: 'phone', message: 'somebody has this phone number already' },
}

const byState = (sqlState: string | undefined): ProblemCode | undefined => {
  if (sqlState === undefined) return undefined
  if (LATER.has(sqlState)) return 'busy'
  // 23505 unique, 23P01 exclusion
  if (sqlState === '23505' || sqlState === '23P01') return 'already-exists'
  // 23503 foreign key, 23514 check: the rules in code came first, so this is a race that the database decided
  if (sqlState === '23503' || sqlState === '23514') return 'wrong-state'
  // 22xxx data exceptions: out of range, bad text, and the like
  if (sqlState.startsWith('22')) return 'bad-input'
  return undefined
}

/** Turns what the database refused into a problem of ours; anything unknown comes back as it was. */
export const translateDatabaseError = (error: unknown): unknown => {
  if (error instanceof MillError) return error
  const fault = readDatabaseError(error)
  if (fault === undefined) return error
  const named = fault.constraint === undefined ? undefined : BY_CONSTRAINT[fault.constraint]
  if (named !== undefined) {
    const fields = named.path === undefined ? [] : [{ path: named.path, code: named.code, message: named.message ?? named.code }]
    return new MillError(named.code, {}, fields, { cause: error })
  }
  const prismaCode = isBag(error) ? text(error['code']) : undefined
  const code =
    prismaCode !== undefined && LATER_PRISMA.has(prismaCode)
      ? 'busy'
      : (byState(fault.sqlState) ?? (UNREACHABLE.test(fault.message) ? 'busy' : undefined))
  if (code === undefined) return error
  return new MillError(code, fault.constraint === undefined ? {} : { constraint: fault.constraint }, [], { cause: error })
}
