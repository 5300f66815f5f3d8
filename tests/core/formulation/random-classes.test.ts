import { describe, expect, test } from 'vitest'
import { costlessRay, isFeasiblePoint, proveClass } from '#core/formulation/certificate'
import type { Formulation } from '#core/formulation/formulate'
import type { LinearOutcome, LinearProgram } from '#core/formulation/linear-program'
import type { FormulaProblem } from '#core/formulation/problem'
import { limitsOf, programOf } from '#core/formulation/program'
import { costOfAmounts, recheck } from '#core/formulation/recheck'
import { solveBySimplex } from '#core/formulation/simplex'
import { createGlpkSolver } from '#platform/solver/glpk'
import { createHighsSolver } from '#platform/solver/highs'
import { createMixSolver } from '#platform/solver/mix-solver'
import { FAMILIES, randomProblem } from './seeded-problems.js'

const glpk = await createGlpkSolver()
const highs = await createHighsSolver()
const kinu = await createMixSolver()

/**
 * What the seeds make: a family that lost its meaning would show here. No class has needed a certificate since rows and amounts are scaled.
 * `leftToOthers`: what the mill's own simplex hands on to GLPK, at most.
 */
const EXPECTED = {
  feasible: { optimal: 400, infeasible: 0, unbounded: 0, byCertificate: 0, leftToOthers: 0 },
  infeasible: { optimal: 0, infeasible: 400, unbounded: 0, byCertificate: 0, leftToOthers: 0 },
  degenerate: { optimal: 400, infeasible: 0, unbounded: 0, byCertificate: 0, leftToOthers: 0 },
  'badly-scaled': { optimal: 271, infeasible: 129, unbounded: 0, byCertificate: 0, leftToOthers: 2 },
  unbounded: { optimal: 145, infeasible: 0, unbounded: 255, byCertificate: 0, leftToOthers: 400 },
} as const

type Class = 'optimal' | 'infeasible' | 'unbounded'
type Settled = { readonly class: Class; readonly byCertificate: boolean }

/** Both solvers' word where it is one; otherwise a checked point, a checked combination of rows, or a checked direction. */
function classOf(lp: LinearProgram, outcomes: readonly LinearOutcome[]): Settled {
  const [first, second] = outcomes.map(({ kind }) => kind)
  if (first !== undefined && first === second && first !== 'failed') return { class: first, byCertificate: false }
  for (const solver of [highs, glpk]) {
    const proof = proveClass(lp, solver)
    if (proof.kind === 'infeasible') return { class: 'infeasible', byCertificate: true }
    if (proof.kind === 'feasible') {
      expect(isFeasiblePoint(lp, proof.x)).toBe(true)
      return { class: costlessRay(lp, solver) ? 'unbounded' : 'optimal', byCertificate: true }
    }
  }
  throw new Error(`not settled: ${JSON.stringify([first, second])}`)
}

/** The cost and every limit, by other code; the cost of each solver within a millionth of the terms that it is summed from. */
function expectAnswer(problem: FormulaProblem, found: Formulation, outcomes: readonly LinearOutcome[]): void {
  if (found.status !== 'optimal') return
  const amounts = problem.ingredients.map(({ id }) => found.amounts[id] ?? Number.NaN)
  expect(recheck(problem, amounts)).toEqual([])
  expect(found.objective).toBe(costOfAmounts(problem, amounts))
  const size = problem.ingredients.reduce((sum, { id, cost }) => sum + Math.abs(cost * (found.amounts[id] ?? 0)), 1e-9)
  for (const outcome of outcomes)
    if (outcome.kind === 'optimal') expect(Math.abs(found.objective - outcome.objective)).toBeLessThanOrEqual(1e-6 * size)
}

// 400 of each family; some eight solves a problem, and conflict searches for those that need them
describe.each(FAMILIES.map((family, first) => [family, first] as const))(
  'of 400 random problems (%s)',
  { timeout: 300_000 },
  (family, first) => {
    test('GLPK, HiGHS, the simplex and Kinu agree on class and cost, and every answer passes the re-check', async () => {
      const seen = { optimal: 0, infeasible: 0, unbounded: 0, byCertificate: 0, leftToOthers: 0 }
      for (let seed = first; seed < 2000; seed += FAMILIES.length) {
        const { problem } = randomProblem(seed)
        const lp = programOf(limitsOf(problem))
        const outcomes = [glpk.solve(lp), highs.solve(lp)]
        const truth = classOf(lp, outcomes)
        const quick = solveBySimplex(lp)
        if (quick.kind === 'unsure') seen.leftToOthers += 1
        else {
          expect(quick.kind, `problem ${seed}`).toBe(truth.class)
          outcomes.push(quick)
        }
        const found = await kinu(problem)
        expect(found.status, `problem ${seed}: ${JSON.stringify(found)}`).toBe(truth.class)
        expectAnswer(problem, found, outcomes)
        seen[truth.class] += 1
        if (truth.byCertificate) seen.byCertificate += 1
      }
      expect(seen).toEqual(EXPECTED[family])
    })
  },
)

test('a certificate tells the class of every seventh problem by itself, without a solver being believed', { timeout: 120_000 }, () => {
  for (let seed = 0; seed < 2000; seed += 7) {
    const { problem } = randomProblem(seed)
    const lp = programOf(limitsOf(problem))
    const { kind } = highs.solve(lp)
    expect(proveClass(lp, glpk).kind, `problem ${seed}`).toBe(kind === 'infeasible' ? 'infeasible' : 'feasible')
    if (kind === 'unbounded') expect(costlessRay(lp, glpk), `problem ${seed}`).not.toBeNull()
    if (kind === 'optimal') expect(costlessRay(lp, glpk), `problem ${seed}`).toBeNull()
  }
})
