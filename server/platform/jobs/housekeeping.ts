import { verifyAudit } from '../audit/verify.js'
import type { Deps } from '../deps.js'
import type { Jobs } from './worker.js'

/** Looks at what must always hold; gives what does not, empty when all is well. */
export type IntegrityCheck = (deps: Deps) => Promise<readonly string[]>

export const auditChainHolds: IntegrityCheck = async ({ db }) => {
  const check = await verifyAudit(db)
  return check.ok ? [] : [`the audit chain is broken at row ${check.brokenAt}: ${check.reason}`]
}

/** Removes what has served its time. */
export const purge = async ({ db, logger }: Deps): Promise<void> => {
  const keys = await db.$executeRaw`DELETE FROM idempotency_key WHERE expires_at <= now()`
  const sessions = await db.$executeRaw`DELETE FROM session WHERE expires_at <= now()`
  const tries = await db.$executeRaw`DELETE FROM login_throttle WHERE expire <= (extract(epoch FROM now()) * 1000)::bigint`
  logger.info({ keys, sessions, tries }, 'purged what has expired')
}

const lookAt =
  (checks: readonly IntegrityCheck[]) =>
  async (deps: Deps): Promise<void> => {
    const faults = (await Promise.all(checks.map((check) => check(deps)))).flat()
    if (faults.length === 0) deps.logger.info('all that must hold does hold')
    for (const fault of faults) deps.logger.error({ fault }, 'something that must hold does not')
  }

/** The mill's own upkeep: every hour what must hold is checked, and what has expired is removed. */
export const housekeeping = (checks: readonly IntegrityCheck[]): Jobs => ({
  tasks: {
    'check-integrity': async (_payload, deps) => lookAt([auditChainHolds, ...checks])(deps),
    purge: async (_payload, deps) => purge(deps),
  },
  cron: ['7 * * * * check-integrity ?fill=1h', '37 * * * * purge'],
})
