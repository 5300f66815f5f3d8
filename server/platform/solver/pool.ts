import type { Formulation } from '#core/formulation/formulate'
import type { FormulaProblem } from '#core/formulation/problem'
import { packProblem } from './packed-problem.js'
import { createSolverThread, failed, type Asked, type TaskAnswer } from './solver-thread.js'
import type { TaskInput, TaskName, TaskOutput } from './tasks.js'
import { CLOCK_SLOTS, takeBack } from './worker-clock.js'

export type { TaskAnswer } from './solver-thread.js'

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

/**
 * A message to a thread and back costs it about 0.6 ms, a good part of what a mix takes: sixteen mixes share it, while as many more already
 * wait there (20 at once, one thread, over the same work on problems as fresh as those that arrive there: 6 to 20 %; `npm run bench`).
 */
const TOGETHER = 16
/** Soon done in all but few cases, so that several travel together. */
const QUICK = 'formulate' satisfies TaskName

/** A pool of solver threads; each keeps its solvers loaded between tasks. */
export function createSolverPool({ threads: count, deadlineMs }: SolverPoolOptions): SolverPool {
  // in shared memory, so that a thread need not send a message for every task that it takes up
  const begun = new BigInt64Array(new SharedArrayBuffer(BigInt64Array.BYTES_PER_ELEMENT * CLOCK_SLOTS))
  let waiting: Asked[] = []
  let sent = 0
  let closed = false
  let planned = false

  const threads = Array.from({ length: count }, () =>
    createSolverThread({
      begun,
      numbers: (length) => (sent += length) - length,
      giveBack(asked) {
        waiting = [...asked, ...waiting]
        planToSend()
      },
      onFree: planToSend,
    }),
  )
  /** An idle thread; for a mix also one with a batch of others. */
  const threadFor = ({ name }: Asked) =>
    threads.find((one) => one.isIdle()) ?? (name === QUICK ? threads.find((one) => one.canQueue(name)) : undefined)
  function nextBatch({ name: first }: Asked): readonly Asked[] {
    const others = waiting.findIndex(({ name }) => name !== QUICK)
    const quick = others < 0 ? waiting.length : others
    // shared between the threads: none waits for company, and none is idle beside a full batch
    return waiting.splice(0, first === QUICK ? Math.min(TOGETHER, Math.ceil(quick / count)) : 1)
  }
  function sendAll() {
    planned = false
    for (let [next] = waiting; next; [next] = waiting) {
      const thread = threadFor(next)
      if (!thread) return
      thread.send(nextBatch(next))
    }
  }
  /** After all that is asked for in this turn of the event loop. */
  function planToSend() {
    if (planned) return
    planned = true
    queueMicrotask(sendAll)
  }
  const ask = (name: TaskName, input: unknown, options: RunOptions): Promise<TaskAnswer<unknown>> =>
    new Promise((resolve) => {
      const { signal } = options
      const settle = (answer: TaskAnswer<unknown>) => {
        signal?.removeEventListener('abort', stop)
        resolve(answer)
      }
      const asked: Asked = { name, input, deadlineMs: options.deadlineMs ?? deadlineMs, settle, task: null, losses: 0 }
      const stop = () => {
        const place = waiting.indexOf(asked)
        if (place >= 0) waiting.splice(place, 1)
        else if (asked.task === null || !takeBack(begun, asked.task)) return
        settle(TAKEN_BACK)
      }
      if (closed) settle(CLOSED)
      else if (signal?.aborted) settle(TAKEN_BACK)
      else {
        signal?.addEventListener('abort', stop, { once: true })
        waiting.push(asked)
        planToSend()
      }
    })
  const run: SolverPool['run'] = async (name, input, options = {}) =>
    // the worker answers a task with what TASKS says of its name
    (await ask(name, input, options)) as TaskAnswer<TaskOutput<typeof name>>
  return {
    run,
    async formulate(problem) {
      const answer = await run(QUICK, packProblem(problem))
      return answer.kind === 'done' ? answer.value : { status: 'failed', reason: answer.reason, detail: answer.detail }
    },
    async close() {
      closed = true
      for (const { settle } of waiting.splice(0)) settle(CLOSED)
      await Promise.all(threads.map((one) => one.close()))
    },
  }
}

const CLOSED = failed('solver-error', 'the solver pool is closed')
const TAKEN_BACK = failed('solver-error', 'taken back before it began')
