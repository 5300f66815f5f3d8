import type { Solver } from '#core/formulation/linear-program'
import { createGlpkSolver } from './glpk.js'
import { createHighsSolver } from './highs.js'

/**
 * Linear programs by GLPK, which is the faster one at the size of a mix, by HiGHS where GLPK breaks; programs with whole numbers by HiGHS,
 * whose search is the better one. A GLPK that broke is not asked again: an aborted WebAssembly module stays broken.
 */
export async function createBothSolvers(): Promise<Solver> {
  const glpk = await createGlpkSolver()
  const highs = await createHighsSolver()
  let broken = false
  return {
    name: `${glpk.name} and ${highs.name}`,
    solve(lp) {
      if (broken) return highs.solve(lp)
      const outcome = glpk.solve(lp)
      if (outcome.kind !== 'failed') return outcome
      broken = true
      return highs.solve(lp)
    },
    solveInteger: (program, limits) => highs.solveInteger(program, limits),
  }
}
