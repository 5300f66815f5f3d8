import type { TaskName } from './tasks.js'

/** Inputs that travel together, to be answered one after the other; the first has task number `first`, the next one more. */
export type SolveTask = { readonly name: TaskName; readonly inputs: readonly unknown[]; readonly first: number }

/** `null`: taken back before it began. `ms`: how long the thread was at it. */
export type ThreadAnswer =
  { readonly kind: 'done'; readonly value: unknown; readonly ms: number } | { readonly kind: 'broke'; readonly detail: string } | null

/** What threads are given at their start: when each task was taken up (ns, `process.hrtime`), by slot; zero and below: see there. */
export type WorkerData = { readonly begun: BigInt64Array }

/** More than can ever wait at once, so that no two tasks under way have one slot. */
export const CLOCK_SLOTS = 65_536
const slotOf = (task: number): number => task % CLOCK_SLOTS

const WAITING = 0n
const TAKEN_BACK = -1n
const ENDED = -2n
const NS_PER_MS = 1e6

/** The task waits from now on. */
export const nowWaits = (begun: BigInt64Array, task: number): void => {
  Atomics.store(begun, slotOf(task), WAITING)
}

/** A thread takes the task up; false where it was taken back. Of the two only one can win. */
export const takeUp = (begun: BigInt64Array, task: number): boolean =>
  Atomics.compareExchange(begun, slotOf(task), WAITING, process.hrtime.bigint()) === WAITING

/** The task will not be done; false where a thread has taken it up already. */
export const takeBack = (begun: BigInt64Array, task: number): boolean =>
  Atomics.compareExchange(begun, slotOf(task), WAITING, TAKEN_BACK) === WAITING

/** The thread is done with the task, whether or not its answer has arrived. */
export const putDown = (begun: BigInt64Array, task: number): void => {
  Atomics.store(begun, slotOf(task), ENDED)
}

/** For how many ms a thread has been at the task; null where none is at it. */
export function workedFor(begun: BigInt64Array, task: number): number | null {
  const at = Atomics.load(begun, slotOf(task))
  return at <= WAITING ? null : Number(process.hrtime.bigint() - at) / NS_PER_MS
}
