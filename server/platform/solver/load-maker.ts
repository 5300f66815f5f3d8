import { makeLoads, type LoadsOutcome, type LoadsRequest } from '#core/milling/make-loads'
import { createGlpkSolver } from './glpk.js'
import { createHighsSolver } from './highs.js'

/**
 * Makes loads with GLPK: their programs have few whole numbers (1 to 20 ms each against 20 to 200 with HiGHS, measured). Where it gives none,
 * HiGHS is asked and GLPK loaded anew, because an aborted WebAssembly module stays broken.
 */
export async function createLoadMaker(): Promise<(request: LoadsRequest) => Promise<LoadsOutcome>> {
  let glpk = await createGlpkSolver()
  return async (request) => {
    const first = makeLoads(request, glpk)
    if (first.kind === 'made' || (first.reason !== 'solver' && first.reason !== 'recheck')) return first
    glpk = await createGlpkSolver()
    return makeLoads(request, await createHighsSolver())
  }
}
