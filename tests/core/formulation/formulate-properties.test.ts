import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { formulate } from '#core/formulation/formulate'
import type { LinearSolver } from '#core/formulation/linear-program'
import type { FormulaProblem } from '#core/formulation/problem'
import { recheck } from '#core/formulation/recheck'
import { createGlpkSolver } from '#platform/solver/glpk'
import { createHighsSolver } from '#platform/solver/highs'
import { aProblem } from './random-blends.js'

const glpk = await createGlpkSolver()
const highs = await createHighsSolver()
const seeded = { seed: 20261125, numRuns: 300 }

const costUnder = (problem: FormulaProblem, solver: LinearSolver): number => {
  const found = formulate(problem, solver)
  if (found.status === 'failed') throw new Error(found.detail)
  return found.status === 'optimal' ? found.objective : found.status === 'infeasible' ? Number.POSITIVE_INFINITY : Number.NEGATIVE_INFINITY
}
const notBelow = (higher: number, lower: number): boolean =>
  higher === lower || (Number.isFinite(lower) && higher >= lower - 1e-6 * Math.max(1, Math.abs(lower)))

// a few thousand solves, conflict searches included: slow on a busy machine
describe('of random problems', { timeout: 180_000 }, () => {
  test('GLPK and HiGHS find the same cost, every answer passes the re-check, and enough are feasible to mean something', () => {
    const seen = { optimal: 0, infeasible: 0 }
    fc.assert(
      fc.property(aProblem, (problem) => {
        const [first, second] = [formulate(problem, glpk), formulate(problem, highs)]
        expect(second.status, JSON.stringify([first, second])).toBe(first.status)
        if (first.status === 'optimal' && second.status === 'optimal') {
          seen.optimal += 1
          expect(Math.abs(first.objective - second.objective)).toBeLessThanOrEqual(1e-6 * Math.max(1, first.objective))
          expect(recheck(problem, Object.values(first.amounts))).toEqual([])
          expect(recheck(problem, Object.values(second.amounts))).toEqual([])
        } else {
          expect(first.status).toBe('infeasible')
          seen.infeasible += 1
        }
      }),
      seeded,
    )
    expect(seen.optimal).toBeGreaterThan(50)
    expect(seen.infeasible).toBeGreaterThan(50)
  })

  test('tightening a limit never lowers the cost, and making it dearer never does either', () => {
    fc.assert(
      fc.property(aProblem, fc.nat(), fc.nat(), (problem, which, dearer) => {
        const cost = costUnder(problem, glpk)
        const nutrients = problem.nutrients ?? []
        const at = which % nutrients.length
        const tighter = nutrients.map((nutrient, i) =>
          i === at
            ? {
                ...nutrient,
                min: nutrient.min === undefined ? undefined : nutrient.min * 1.05,
                max: nutrient.max === undefined ? undefined : nutrient.max * 0.95,
              }
            : nutrient,
        )
        const priced = problem.ingredients.map((one, i) =>
          i === dearer % problem.ingredients.length ? { ...one, cost: one.cost + 5 } : one,
        )
        return (
          notBelow(costUnder({ ...problem, nutrients: tighter }, glpk), cost) &&
          notBelow(costUnder({ ...problem, ingredients: priced }, glpk), cost)
        )
      }),
      { ...seeded, numRuns: 200 },
    )
  })

  test('twice the batch costs twice as much, and the same problem gives the same bytes', () => {
    fc.assert(
      fc.property(aProblem, (problem) => {
        const free: FormulaProblem = {
          ...problem,
          ingredients: problem.ingredients.map(({ max: _max, min: _min, ...one }) => one),
          nutrients: (problem.nutrients ?? []).filter((nutrient) => nutrient.basis === 'concentration'),
        }
        const twice = { ...free, batch: { size: (free.batch?.size ?? 1) * 2, relation: '=' as const } }
        const once = { ...free, batch: { size: free.batch?.size ?? 1, relation: '=' as const } }
        expect(JSON.stringify(formulate(problem, glpk))).toBe(JSON.stringify(formulate(problem, glpk)))
        const [a, b] = [costUnder(once, glpk), costUnder(twice, glpk)]
        expect(a === b || Math.abs(b - 2 * a) <= 1e-6 * Math.max(1, Math.abs(b))).toBe(true)
      }),
      { ...seeded, numRuns: 60 },
    )
  })
})
