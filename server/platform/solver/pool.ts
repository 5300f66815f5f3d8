import { Piscina } from 'piscina'
import type { Formulation } from '#core/formulation/formulate'
import type { FormulaProblem } from '#core/formulation/problem'
import { packProblem } from './packed-problem.js'
import type { TaskInput, TaskName, TaskOutput } from './tasks.js'
import { CLOCK_SLOTS, slotOf, type SolveTask } from './worker-clock.js'

/** `failed`: the thread was ended at the deadline, or the solver broke. What the solver says of the problem is a value. */
export type TaskAnswer<T> =
  | { readonly kind: 'done'; readonly value: T }
  | { readonly kind: 'failed'; readonly reason: 'time-limit' | 'solver-error'; readonly detail: string }

export type RunOptions = {
  /** Instead of the pool's own. */
  readonly deadlineMs?: number | undefined
  /** Takes the task back while it still waits; one that has begun goes on to its end. */
  readonly signal?: AbortSignal | undefined
}

export type SolverPool = {
  /**
   * Runs one task in a worker thread. Never rejects for what the solver does: past the deadline the thread is ended and replaced. The
   * deadline runs from when a thread takes the task up, not while it waits for one.
   */
  run<N extends TaskName>(name: N, input: TaskInput<N>, options?: RunOptions): Promise<TaskAnswer<TaskOutput<N>>>
  /** Solves one mix; what went wrong is a `failed` formulation. */
  formulate(problem: FormulaProblem): Promise<Formulation>
  /** Ends all threads; what is still being solved answers `failed`. */
  close(): Promise<void>
}

export type SolverPoolOptions = { readonly threads: number; readonly deadlineMs: number }

const compiled = import.meta.url.endsWith('.js')
const WORKER = new URL(compiled ? './worker.js' : './worker-dev.mjs', import.meta.url).href

type Failure = Extract<TaskAnswer<never>, { kind: 'failed' }>
const failed = (reason: Failure['reason'], detail: string): Failure => ({ kind: 'failed', reason, detail })

type Ask = { readonly name: TaskName; readonly input: unknown; readonly deadlineMs: number; readonly signal?: AbortSignal | undefined }

type Threads = { readonly piscina: Piscina<SolveTask, unknown>; readonly begun: BigInt64Array }

const NS_PER_MS = 1e6
/** How long ago a thread took the task up, in ms; null while it waits. */
function workedFor(begun: BigInt64Array, task: number): number | null {
  const at = Atomics.load(begun, slotOf(task))
  return at === 0n ? null : Number(process.hrtime.bigint() - at) / NS_PER_MS
}

async function runWithin(
  { piscina, begun }: Threads,
  task: number,
  { name, input, deadlineMs, signal }: Ask,
): Promise<TaskAnswer<unknown>> {
  const end = new AbortController()
  let timer: NodeJS.Timeout | undefined
  let late = false
  const look = () => {
    const left = deadlineMs - (workedFor(begun, task) ?? 0)
    if (left <= 0) {
      late = true
      end.abort()
    } else timer = setTimeout(look, Math.ceil(left))
  }
  const takeBack = () => {
    if (workedFor(begun, task) === null) end.abort()
  }
  Atomics.store(begun, slotOf(task), 0n)
  look()
  signal?.addEventListener('abort', takeBack, { once: true })
  try {
    return { kind: 'done', value: await piscina.run({ name, input, task }, { signal: end.signal }) }
  } catch (error) {
    if (late) return failed('time-limit', `not solved in ${deadlineMs} ms`)
    return failed('solver-error', error instanceof Error ? error.message : String(error))
  } finally {
    clearTimeout(timer)
    signal?.removeEventListener('abort', takeBack)
  }
}

/** A pool of solver threads; each keeps its solvers loaded between tasks. */
export function createSolverPool({ threads, deadlineMs }: SolverPoolOptions): SolverPool {
  // in shared memory, so that a thread need not send a message for every task that it takes up
  const begun = new BigInt64Array(new SharedArrayBuffer(BigInt64Array.BYTES_PER_ELEMENT * CLOCK_SLOTS))
  const piscina = new Piscina<SolveTask, unknown>({
    filename: WORKER,
    minThreads: threads,
    maxThreads: threads,
    idleTimeout: Number.POSITIVE_INFINITY,
    workerData: { begun },
    ...(compiled ? {} : { execArgv: ['--conditions=kinu-source'] }),
  })
  let tasks = 0
  let closed = false
  const run: SolverPool['run'] = async (name, input, options = {}) => {
    // a destroyed Piscina would quietly start new threads for a new task
    if (closed) return failed('solver-error', 'the solver pool is closed')
    if (options.signal?.aborted) return failed('solver-error', 'taken back before it began')
    const ask = { name, input, deadlineMs: options.deadlineMs ?? deadlineMs, signal: options.signal }
    // the worker answers a task with what TASKS says of its name
    return (await runWithin({ piscina, begun }, (tasks += 1), ask)) as TaskAnswer<TaskOutput<typeof name>>
  }
  return {
    run,
    async formulate(problem) {
      const answer = await run('formulate', packProblem(problem))
      return answer.kind === 'done' ? answer.value : { status: 'failed', reason: answer.reason, detail: answer.detail }
    },
    close: () => {
      closed = true
      return piscina.destroy()
    },
  }
}
