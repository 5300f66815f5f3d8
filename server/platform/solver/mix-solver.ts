import { formulate, type Formulation } from '#core/formulation/formulate'
import type { LinearSolver } from '#core/formulation/linear-program'
import type { FormulaProblem } from '#core/formulation/problem'
import { createGlpkSolver } from './glpk.js'
import { createHighsSolver } from './highs.js'

/** Whether another solver could do better: not where the problem itself is what cannot be solved. */
const worthAsking = (found: Formulation): boolean =>
  found.status === 'failed' && (found.reason === 'solver-error' || found.reason === 'recheck')

/**
 * Solves mixes with GLPK (1.0 ms a mix against 2.4 with HiGHS, measured); where that answer is not believed, HiGHS is asked, and the
 * solver that failed is loaded anew, because an aborted WebAssembly module stays broken.
 */
export async function createMixSolver(): Promise<(problem: FormulaProblem) => Promise<Formulation>> {
  let glpk: LinearSolver = await createGlpkSolver()
  return async (problem) => {
    const first = formulate(problem, glpk)
    if (!worthAsking(first)) return first
    glpk = await createGlpkSolver()
    return formulate(problem, await createHighsSolver())
  }
}
