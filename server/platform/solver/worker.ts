import type { MessagePort } from 'node:worker_threads'
import type { Formulation } from '#core/formulation/formulate'
import type { FormulaProblem } from '#core/formulation/problem'
import { createMixSolver } from './mix-solver.js'

export type SolveTask = { readonly problem: FormulaProblem; readonly started: MessagePort }

const solve = await createMixSolver()

/** The task of a solver thread. It says that it has begun, so that waiting and loading do not count against the deadline. */
export default async function work({ problem, started }: SolveTask): Promise<Formulation> {
  started.postMessage('started')
  started.close()
  return solve(problem)
}
