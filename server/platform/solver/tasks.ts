import type { Formulation } from '#core/formulation/formulate'
import type { FormulaProblem } from '#core/formulation/problem'
import { createMixSolver } from './mix-solver.js'

const formulateMix = await createMixSolver()

/**
 * What a solver thread can be asked, by name. Arguments and answers cross threads, so they are plain data. A task is synchronous work
 * behind an `await` at most: the deadline ends the whole thread.
 */
export const TASKS = {
  formulate: (problem: FormulaProblem): Promise<Formulation> => formulateMix(problem),
} as const

export type Tasks = typeof TASKS
export type TaskName = keyof Tasks
export type TaskInput<N extends TaskName> = Parameters<Tasks[N]>[0]
export type TaskOutput<N extends TaskName> = Awaited<ReturnType<Tasks[N]>>
