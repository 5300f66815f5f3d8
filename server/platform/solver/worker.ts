import { parentPort } from 'node:worker_threads'
import { TASKS, type TaskName } from './tasks.js'

export type SolveTask = { readonly name: TaskName; readonly input: unknown; readonly task: number }
/** What a thread says when it takes a task up. */
export type Begun = { readonly begun: number }

/** The task of a solver thread. It says that it has begun, so that waiting and loading do not count against the deadline. */
export default async function work({ name, input, task }: SolveTask): Promise<unknown> {
  parentPort?.postMessage({ begun: task } satisfies Begun)
  // the pool's `run` is what ties a name to its input
  return (TASKS[name] as (input: unknown) => unknown)(input)
}
