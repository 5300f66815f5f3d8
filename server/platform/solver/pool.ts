import { Piscina } from 'piscina'
import type { Formulation } from '#core/formulation/formulate'
import type { FormulaProblem } from '#core/formulation/problem'
import { leanProblem } from './lean-problem.js'
import type { TaskInput, TaskName, TaskOutput } from './tasks.js'
import type { Begun, SolveTask } from './worker.js'

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

/** Who waits to hear that a task has begun, by the task's number. */
type Waiting = Map<number, () => void>

async function runWithin(
  piscina: Piscina<SolveTask, unknown>,
  waiting: Waiting,
  task: number,
  { name, input, deadlineMs, signal }: Ask,
): Promise<TaskAnswer<unknown>> {
  const end = new AbortController()
  let timer: NodeJS.Timeout | undefined
  let late = false
  const takeBack = () => {
    if (timer === undefined) end.abort()
  }
  waiting.set(task, () => {
    timer = setTimeout(() => {
      late = true
      end.abort()
    }, deadlineMs)
  })
  signal?.addEventListener('abort', takeBack, { once: true })
  try {
    return { kind: 'done', value: await piscina.run({ name, input, task }, { signal: end.signal }) }
  } catch (error) {
    if (late) return failed('time-limit', `not solved in ${deadlineMs} ms`)
    return failed('solver-error', error instanceof Error ? error.message : String(error))
  } finally {
    waiting.delete(task)
    clearTimeout(timer)
    signal?.removeEventListener('abort', takeBack)
  }
}

/** A pool of solver threads; each keeps its solvers loaded between tasks. */
export function createSolverPool({ threads, deadlineMs }: SolverPoolOptions): SolverPool {
  const piscina = new Piscina<SolveTask, unknown>({
    filename: WORKER,
    minThreads: threads,
    maxThreads: threads,
    idleTimeout: Number.POSITIVE_INFINITY,
    ...(compiled ? {} : { execArgv: ['--conditions=kinu-source'] }),
  })
  const waiting: Waiting = new Map()
  // over the port that each thread has anyway: a channel for each task cost more than copying the task
  piscina.on('message', ({ begun }: Begun) => waiting.get(begun)?.())
  let tasks = 0
  let closed = false
  const run: SolverPool['run'] = async (name, input, options = {}) => {
    // a destroyed Piscina would quietly start new threads for a new task
    if (closed) return failed('solver-error', 'the solver pool is closed')
    if (options.signal?.aborted) return failed('solver-error', 'taken back before it began')
    const ask = { name, input, deadlineMs: options.deadlineMs ?? deadlineMs, signal: options.signal }
    // the worker answers a task with what TASKS says of its name
    return (await runWithin(piscina, waiting, (tasks += 1), ask)) as TaskAnswer<TaskOutput<typeof name>>
  }
  return {
    run,
    async formulate(problem) {
      const answer = await run('formulate', leanProblem(problem))
      return answer.kind === 'done' ? answer.value : { status: 'failed', reason: answer.reason, detail: answer.detail }
    },
    close: () => {
      closed = true
      return piscina.destroy()
    },
  }
}
