import type { MessagePort } from 'node:worker_threads'
import { TASKS, type TaskName } from './tasks.js'

export type SolveTask = { readonly name: TaskName; readonly input: unknown; readonly started: MessagePort }

/** The task of a solver thread. It says that it has begun, so that waiting and loading do not count against the deadline. */
export default async function work({ name, input, started }: SolveTask): Promise<unknown> {
  started.postMessage('started')
  started.close()
  // the pool's `run` is what ties a name to its input
  return (TASKS[name] as (input: unknown) => unknown)(input)
}
