import type { TaskName } from './tasks.js'

export type SolveTask = { readonly name: TaskName; readonly input: unknown; readonly task: number }

/** What threads are given at their start: when each task was taken up (ns, `process.hrtime`), by slot; 0 while it waits. */
export type WorkerData = { readonly begun: BigInt64Array }

/** More than can ever wait at once, so that no two tasks under way have one slot. */
export const CLOCK_SLOTS = 65_536
export const slotOf = (task: number): number => task % CLOCK_SLOTS
