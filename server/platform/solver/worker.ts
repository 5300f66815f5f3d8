import type { MessagePort } from 'node:worker_threads'
import { formulate, type Formulation } from '#core/formulation/formulate'
import type { LinearSolver } from '#core/formulation/linear-program'
import type { FormulaProblem } from '#core/formulation/problem'
import { createGlpkSolver } from './glpk.js'
import { createHighsSolver } from './highs.js'

export type SolveTask = { readonly problem: FormulaProblem; readonly started: MessagePort }

let glpk: LinearSolver = await createGlpkSolver()
let highs: LinearSolver | null = null

/** GLPK first (1.0 ms a mix against 2.4, measured); where its answer is not believed, HiGHS is asked. */
async function solve(problem: FormulaProblem): Promise<Formulation> {
  const first = formulate(problem, glpk)
  if (first.status !== 'failed' || first.reason === 'unsupported' || first.reason === 'unknown-content') return first
  // an aborted WebAssembly module stays broken: the next task gets a new one
  glpk = await createGlpkSolver()
  highs ??= await createHighsSolver()
  const second = formulate(problem, highs)
  if (second.status === 'failed') highs = null
  return second
}

/** The task of a solver thread. It says that it has begun, so that waiting and loading do not count against the deadline. */
export default async function work({ problem, started }: SolveTask): Promise<Formulation> {
  started.postMessage('started')
  started.close()
  return solve(problem)
}
