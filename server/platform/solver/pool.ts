import { MessageChannel } from 'node:worker_threads'
import { Piscina } from 'piscina'
import type { Formulation } from '#core/formulation/formulate'
import type { FormulaProblem } from '#core/formulation/problem'
import type { SolveTask } from './worker.js'

export type SolverPool = {
  /**
   * Solves one mix in a worker thread. Never rejects for what the solver does: past the deadline the thread is ended and replaced and
   * the answer is `failed`, `time-limit`. The deadline runs from when a thread takes the problem up, not while it waits for one.
   */
  formulate(problem: FormulaProblem): Promise<Formulation>
  /** Ends all threads; what is still being solved answers `failed`. */
  close(): Promise<void>
}

export type SolverPoolOptions = { readonly threads: number; readonly deadlineMs: number }

const compiled = import.meta.url.endsWith('.js')
const WORKER = new URL(compiled ? './worker.js' : './worker-dev.mjs', import.meta.url).href

const failed = (reason: 'time-limit' | 'solver-error', detail: string): Formulation => ({ status: 'failed', reason, detail })

async function solveWithin(piscina: Piscina<SolveTask, Formulation>, problem: FormulaProblem, deadlineMs: number): Promise<Formulation> {
  const { port1: begun, port2: started } = new MessageChannel()
  const deadline = new AbortController()
  let timer: NodeJS.Timeout | undefined
  begun.once('message', () => {
    timer = setTimeout(() => deadline.abort(), deadlineMs)
  })
  try {
    return await piscina.run({ problem, started }, { transferList: [started], signal: deadline.signal })
  } catch (error) {
    if (deadline.signal.aborted) return failed('time-limit', `not solved in ${deadlineMs} ms`)
    return failed('solver-error', error instanceof Error ? error.message : String(error))
  } finally {
    clearTimeout(timer)
    begun.close()
  }
}

/** A pool of solver threads; each keeps its solver loaded between problems. */
export function createSolverPool({ threads, deadlineMs }: SolverPoolOptions): SolverPool {
  const piscina = new Piscina<SolveTask, Formulation>({
    filename: WORKER,
    minThreads: threads,
    maxThreads: threads,
    idleTimeout: Number.POSITIVE_INFINITY,
    ...(compiled ? {} : { execArgv: ['--conditions=kinu-source'] }),
  })
  let closed = false
  return {
    // a destroyed Piscina would quietly start new threads for a new task
    formulate: async (problem) =>
      closed ? failed('solver-error', 'the solver pool is closed') : solveWithin(piscina, problem, deadlineMs),
    close: () => {
      closed = true
      return piscina.destroy()
    },
  }
}
