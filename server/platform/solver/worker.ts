import { setImmediate } from 'node:timers/promises'
import { workerData } from 'node:worker_threads'
import { TASKS } from './tasks.js'
import { putDown, takeUp, type SolveTask, type ThreadAnswer, type WorkerData } from './worker-clock.js'

const { begun } = workerData as WorkerData

let turn: Promise<unknown> = Promise.resolve()

/** The tasks of a solver thread, one batch after the other: each answer is on its way before the next batch begins. */
export default function work(batch: SolveTask): Promise<readonly ThreadAnswer[]> {
  const answers = turn.then(() => answerAll(batch))
  turn = answers.then(() => setImmediate())
  return answers
}

async function answerAll({ name, inputs, first }: SolveTask): Promise<readonly ThreadAnswer[]> {
  // the pool's `run` is what ties a name to its input
  const task = TASKS[name] as (input: unknown) => unknown
  const answers: ThreadAnswer[] = []
  for (const [i, input] of inputs.entries()) {
    // so that waiting and loading do not count against the deadline
    if (!takeUp(begun, first + i)) answers.push(null)
    else {
      answers.push(await answerOf(task, input))
      putDown(begun, first + i)
    }
  }
  return answers
}

/** One that breaks does not take with it what travelled beside it. */
async function answerOf(task: (input: unknown) => unknown, input: unknown): Promise<ThreadAnswer> {
  const begunAt = performance.now()
  try {
    return { kind: 'done', value: await task(input), ms: performance.now() - begunAt }
  } catch (error) {
    return { kind: 'broke', detail: error instanceof Error ? error.message : String(error) }
  }
}
