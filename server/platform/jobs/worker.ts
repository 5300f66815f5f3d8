import { Logger as JobsLogger, run } from 'graphile-worker'
import type { Logger } from 'pino'
import type { Deps } from '../deps.js'

/** A job: may run twice, and awaits everything that it does. */
export type Job = (payload: unknown, deps: Deps) => Promise<void>
export type Jobs = {
  readonly tasks: { readonly [name: string]: Job }
  /** Lines of a crontab, in UTC: `0 * * * * name`. */
  readonly cron: readonly string[]
}
export type RunningWorker = { readonly stop: () => Promise<void> }

const AT_ONCE = 2
// LISTEN is not always answered through a proxy; then a job waits this long.
const POLL_MS = 2_000

const into = (logger: Logger): JobsLogger =>
  new JobsLogger(() => (level, message, meta) => {
    const at = level === 'warning' ? 'warn' : level === 'info' ? 'debug' : level
    logger[at]({ ...(meta?.['error'] !== undefined && { err: meta['error'] }) }, message)
  })

/** Runs the jobs that commands enqueued, and those of the clock, until stopped; what has begun is finished first. */
export const startWorker = async (deps: Deps, jobs: Jobs): Promise<RunningWorker> => {
  const taskList = Object.fromEntries(
    Object.entries(jobs.tasks).map(([name, job]) => [name, (payload: unknown): Promise<void> => job(payload, deps)]),
  )
  const runner = await run({
    pgPool: deps.sql,
    taskList,
    crontab: jobs.cron.join('\n'),
    concurrency: AT_ONCE,
    pollInterval: POLL_MS,
    noHandleSignals: true,
    logger: into(deps.logger),
  })
  // A worker that dies says so itself; the process ends and its supervisor starts another.
  runner.promise.catch((error: unknown) => deps.logger.fatal({ err: error }, 'the worker ended'))
  return { stop: () => runner.stop() }
}
