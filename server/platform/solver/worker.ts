import { workerData } from 'node:worker_threads'
import { TASKS } from './tasks.js'
import { slotOf, type SolveTask, type WorkerData } from './worker-clock.js'

const { begun } = workerData as WorkerData

/** The task of a solver thread. It notes when it has begun, so that waiting and loading do not count against the deadline. */
export default async function work({ name, input, task }: SolveTask): Promise<unknown> {
  Atomics.store(begun, slotOf(task), process.hrtime.bigint())
  // the pool's `run` is what ties a name to its input
  return (TASKS[name] as (input: unknown) => unknown)(input)
}
