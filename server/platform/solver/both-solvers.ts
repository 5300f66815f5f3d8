import type { Solver } from '#core/formulation/linear-program'
import { createGlpkSolver } from './glpk.js'
import { createHighsSolver } from './highs.js'
import { simplexFirst } from './simplex-first.js'

/**
 * The simplex, GLPK for what it leaves (whole amounts too: 48 ms against 1.4 s with HiGHS for the bags of a broiler feed, measured), and
 * HiGHS where GLPK breaks or does not prove its answer. A GLPK that broke is not asked again: an aborted WebAssembly module stays broken.
 */
export async function createBothSolvers(): Promise<Solver> {
  const glpk = await createGlpkSolver()
  const highs = await createHighsSolver()
  let broken = false
  return simplexFirst({
    name: `${glpk.name} and ${highs.name}`,
    solve(lp) {
      if (broken) return highs.solve(lp)
      const outcome = glpk.solve(lp)
      if (outcome.kind !== 'failed') return outcome
      broken = true
      return highs.solve(lp)
    },
    solveInteger(program, limits) {
      if (broken) return highs.solveInteger(program, limits)
      const begun = performance.now()
      const outcome = glpk.solveInteger(program, limits)
      if (outcome.kind !== 'failed' && !(outcome.kind === 'solved' && !outcome.proven)) return outcome
      const timeLimitMs = limits.timeLimitMs - (performance.now() - begun)
      if (timeLimitMs <= 0) return outcome
      const second = highs.solveInteger(program, { ...limits, timeLimitMs })
      return second.kind === 'failed' ? outcome : second
    },
  })
}
