import { describe, expect, test } from 'vitest'
import { formulate, type OptimalFormulation } from '#core/formulation/formulate'
import type { FormulaProblem, ProblemNutrient } from '#core/formulation/problem'
import { limitsOf, programOf, type NamedLimits } from '#core/formulation/program'
import { createGlpkSolver } from '#platform/solver/glpk'
import { drawsFrom, randomProblem } from './seeded-problems.js'

const glpk = await createGlpkSolver()

/** What a problem costs: infinitely much where nothing meets its limits, infinitely little where there is no end. */
function costUnder(problem: FormulaProblem): number {
  const outcome = glpk.solve(programOf(limitsOf(problem)))
  switch (outcome.kind) {
    case 'optimal':
      return outcome.objective
    case 'infeasible':
      return Number.POSITIVE_INFINITY
    case 'unbounded':
      return Number.NEGATIVE_INFINITY
    case 'failed':
      throw new Error(outcome.reason)
  }
}

const closer = ({ min, max, ...nutrient }: ProblemNutrient): ProblemNutrient => ({
  ...nutrient,
  min: min === undefined ? undefined : min + Math.abs(min) * 0.03,
  max: max === undefined ? undefined : max - Math.abs(max) * 0.03,
})

describe('of 2,000 random problems', { timeout: 300_000 }, () => {
  test('tightening a limit never lowers the cost', () => {
    let dearer = 0
    for (let seed = 0; seed < 2000; seed += 1) {
      const { problem } = randomProblem(seed)
      const draw = drawsFrom(seed)
      const which = draw.whole(0, Math.max(0, (problem.nutrients?.length ?? 0) - 1))
      const nutrients = problem.nutrients?.map((nutrient, j) => (j === which ? closer(nutrient) : nutrient))
      const before = costUnder(problem)
      const after = costUnder({ ...problem, nutrients })
      const size = Number.isFinite(before) ? Math.abs(before) : 0
      expect(after === before || after >= before - 1e-6 * size, `problem ${seed}: ${before}, tightened ${after}`).toBe(true)
      if (after > before + 1e-6 * size) dearer += 1
    }
    // it would prove little of limits that bind nowhere
    expect(dearer).toBeGreaterThan(300)
  })
})

/** The cost with a row's limits moved; null where it is no longer met. */
function costMoved(limits: NamedLimits, row: number, by: number): number | null {
  const moved = (limit: number | null) => (limit === null ? null : limit + by)
  const rows = limits.rows.map((one, i) => (i === row ? { ...one, lower: moved(one.lower), upper: moved(one.upper) } : one))
  const outcome = glpk.solve(programOf({ ...limits, rows }))
  return outcome.kind === 'optimal' ? outcome.objective : null
}

/** How much the cost moves a unit of the row, a little up and a little down; null where one of the two has no answer. */
function slopes(limits: NamedLimits, row: number, cost: number): { readonly down: number; readonly up: number } | null {
  const terms = limits.rows[row]?.dense.map(Math.abs) ?? []
  const step = 1e-5 * Math.max(...terms, 1e-12)
  const [above, below] = [costMoved(limits, row, step), costMoved(limits, row, -step)]
  return above === null || below === null ? null : { up: (above - cost) / step, down: (cost - below) / step }
}

describe('of random problems with an optimum', { timeout: 300_000 }, () => {
  test('the price of every row is the change of the cost where that is the same both ways, and lies between where it is not', () => {
    let same = 0
    let kinked = 0
    for (let seed = 0; seed < 1000; seed += 1) {
      const { family, problem } = randomProblem(seed)
      if (family === 'badly-scaled') continue
      const found = formulate(problem, glpk)
      if (found.status !== 'optimal') continue
      const limits = limitsOf(problem)
      for (const [row, { id }] of limits.rows.entries()) {
        const found2 = slopes(limits, row, found.objective)
        if (!found2) continue
        const { up, down } = found2
        const price = priceOf(found, id)
        const slack = 1e-4 * Math.max(Math.abs(up), Math.abs(down), Math.abs(price)) + 1e-5 * scaleOf(problem, limits, row)
        expect(price, `problem ${seed}, ${id}`).toBeGreaterThanOrEqual(Math.min(up, down) - slack)
        expect(price, `problem ${seed}, ${id}`).toBeLessThanOrEqual(Math.max(up, down) + slack)
        if (Math.abs(up - down) <= slack) same += 1
        else kinked += 1
      }
    }
    expect(same).toBeGreaterThan(1000)
    expect(kinked).toBeGreaterThan(10)
  })
})

const priceOf = (found: OptimalFormulation, id: string): number => found.shadowPrices[id] ?? 0
/** The size of a price that means something: the dearest ingredient's cost over the row's largest coefficient. */
const scaleOf = (problem: FormulaProblem, limits: NamedLimits, row: number): number =>
  Math.max(...problem.ingredients.map(({ cost }) => Math.abs(cost))) / Math.max(...(limits.rows[row]?.dense.map(Math.abs) ?? []), 1e-12)
