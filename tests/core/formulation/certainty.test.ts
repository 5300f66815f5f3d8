import { describe, expect, test } from 'vitest'
import { formulaOfChance, type ChanceProblem } from '#core/formulation/chance'
import { costOfCertainty } from '#core/formulation/certainty-cost'
import { certaintyViolations } from '#core/formulation/certainty-recheck'
import { atMean, formulateCertain } from '#core/formulation/certainty'
import { formulate, type OptimalFormulation } from '#core/formulation/formulate'
import type { FormulaProblem } from '#core/formulation/problem'
import { recheck } from '#core/formulation/recheck'
import { zOf } from '#core/formulation/normal'
import { createGlpkSolver } from '#platform/solver/glpk'
import { createHighsSolver } from '#platform/solver/highs'
import { simplexFirst } from '#platform/solver/simplex-first'
import { randomProblem, type Shape } from './certain-problems.js'
import { conicCost } from './conic-check.js'
import { readCase } from './reference-cases.js'

const glpk = await createGlpkSolver()
const highs = await createHighsSolver()
const quick = simplexFirst(glpk)

type ChanceCase = {
  readonly problem: ChanceProblem
  readonly expected: {
    readonly objective: number
    readonly amounts: Record<string, number>
    readonly proteinMean: number
    readonly proteinStandardDeviation: number
  }
}
const cattle = readCase<ChanceCase>('cattle-feed-chance-95')
const cattleProblem = formulaOfChance(cattle.problem)

function optimum(problem: FormulaProblem, solver = quick): OptimalFormulation {
  const found = formulate(problem, solver)
  if (found.status !== 'optimal') throw new Error(JSON.stringify(found))
  return found
}
const small: Shape = { lots: 8, nutrients: 5, certain: 2, z: zOf(0.95) }
const withZ = (problem: FormulaProblem, z: number): FormulaProblem => ({
  ...problem,
  nutrients: problem.nutrients?.map((nutrient) => (nutrient.z === undefined ? nutrient : { ...nutrient, z })),
})

describe('the published cattle feed (Bracken and McCormick 1968, after van de Panne and Popp 1963)', () => {
  test.each([glpk, highs, quick])('is found to the printed digits with $name', (solver) => {
    const found = optimum(cattleProblem, solver)
    expect(found.objective).toBeCloseTo(29.894378, 5)
    for (const [id, amount] of Object.entries(cattle.expected.amounts))
      expect(Math.abs((found.amounts[id] ?? Number.NaN) - amount)).toBeLessThan(1e-5)
    const [limit] = found.certainty?.limits ?? []
    expect(limit).toMatchObject({ id: 'nutrient:protein:min', side: 'min', limit: 21, zAsked: 1.645 })
    expect(limit?.mean).toBeCloseTo(cattle.expected.proteinMean, 4)
    expect(limit?.sd).toBeCloseTo(cattle.expected.proteinStandardDeviation, 4)
    expect(limit?.zReached).toBeCloseTo(1.645, 6)
  })

  test('at the mean costs what the deterministic case prints, and certainty the difference', () => {
    const plain = readCase<{ readonly problem: FormulaProblem; readonly expected: { readonly objective: number } }>(
      'cattle-feed-deterministic',
    )
    const cost = costOfCertainty(cattleProblem, glpk)
    expect(cost.atMean).toMatchObject({ status: 'optimal' })
    expect(optimum(plain.problem).objective).toBeCloseTo(28.9426476517, 8)
    expect(cost.difference).toBeCloseTo(29.8943781588 - 28.9426476517, 6)
    expect(cost.limits).toHaveLength(1)
    expect(cost.limits[0]?.saves).toBeCloseTo(cost.difference ?? Number.NaN, 9)
  })

  test('prices the limit as a small change of it does', () => {
    const raised = (by: number) =>
      optimum({
        ...cattleProblem,
        nutrients: cattleProblem.nutrients?.map((one) => (one.id === 'protein' ? { ...one, min: 21 + by } : one)),
      }).objective
    const slope = (raised(1e-3) - raised(-1e-3)) / 2e-3
    expect(optimum(cattleProblem).shadowPrices['nutrient:protein:min']).toBeCloseTo(slope, 3)
  })
})

describe('against another way to the same cost', { timeout: 240_000 }, () => {
  test('200 random problems cost what one large program of polygons costs with HiGHS, to a millionth', () => {
    const seen = { optimal: 0, none: 0 }
    for (let seed = 1; seed <= 200; seed += 1) {
      const problem = randomProblem(seed, { ...small, z: [1, zOf(0.9), zOf(0.95), zOf(0.99)][seed % 4] ?? 1 })
      const found = formulate(problem, seed % 2 === 0 ? glpk : quick)
      const expected = conicCost(problem, highs)
      if (found.status !== 'optimal') {
        expect([seed, found.status, expected]).toEqual([seed, 'infeasible', null])
        seen.none += 1
        continue
      }
      seen.optimal += 1
      expect(Math.abs(found.objective - (expected ?? Number.NaN)) / found.objective, `problem ${seed}`).toBeLessThan(1e-6)
      expect(recheck(problem, Object.values(found.amounts))).toEqual([])
      expect(found.certainty?.violation ?? 1).toBeLessThan(5e-7)
      expect(found.objective - (found.certainty?.lowerBound ?? -Infinity)).toBeLessThan(1e-6 * found.objective)
    }
    expect(seen.optimal).toBeGreaterThan(150)
  })
})

describe('of random problems', { timeout: 180_000 }, () => {
  const seeds = Array.from({ length: 60 }, (_, i) => 1000 + i)

  test('certainty is never cheaper than none, and dearer the more of it is asked', () => {
    for (const seed of seeds) {
      const problem = randomProblem(seed, small)
      let before = optimum(atMean(problem)).objective
      for (const p of [0.6, 0.8, 0.9, 0.95]) {
        const found = formulate(withZ(problem, zOf(p)), quick)
        if (found.status !== 'optimal') break
        expect(found.objective).toBeGreaterThanOrEqual(before * (1 - 1e-7))
        before = found.objective
      }
    }
  })

  test('a lot split in two that err together buys no certainty; two that err apart do', () => {
    let cheaper = 0
    for (const seed of seeds) {
      const problem = randomProblem(seed, small)
      const found = formulate(problem, quick)
      if (found.status !== 'optimal') continue
      const split = (shared: boolean): FormulaProblem => ({
        ...problem,
        ingredients: problem.ingredients.flatMap((one) => {
          const spreads = Object.fromEntries(
            Object.entries(one.spreads ?? {}).map(([name, { own, shared: more }]) => [
              name,
              shared ? { own: 0, shared: { ...more, [`lot ${one.id}`]: own } } : { own, shared: more },
            ]),
          )
          return [
            { ...one, spreads },
            { ...one, id: `${one.id}-again`, spreads },
          ]
        }),
      })
      // doubling a lot also doubles its stock, so the comparison is with the same stock in one lot
      const doubled: FormulaProblem = {
        ...problem,
        ingredients: problem.ingredients.map(({ max, ...one }) => ({ ...one, max: (max ?? 0) * 2 })),
      }
      const whole = optimum(doubled).objective
      expect(Math.abs(optimum(split(true)).objective - whole) / whole).toBeLessThan(1e-6)
      const apart = optimum(split(false)).objective
      expect(apart).toBeLessThanOrEqual(whole * (1 + 1e-7))
      if (apart < whole * (1 - 1e-6)) cheaper += 1
    }
    expect(cheaper).toBeGreaterThan(20)
  })

  test('gives the same bytes twice, GLPK and HiGHS the same cost', () => {
    for (const seed of seeds.slice(0, 20)) {
      const problem = randomProblem(seed, small)
      const found = formulate(problem, quick)
      expect(JSON.stringify(formulate(problem, quick))).toBe(JSON.stringify(found))
      const other = formulate(problem, highs)
      expect(other.status).toBe(found.status)
      if (found.status === 'optimal' && other.status === 'optimal')
        expect(Math.abs(other.objective - found.objective)).toBeLessThan(1e-6 * found.objective)
    }
  })
})

describe('where limits conflict', () => {
  const conflictOf = (problem: FormulaProblem): readonly string[] => {
    const found = formulate(problem, quick)
    if (found.status !== 'infeasible') throw new Error(JSON.stringify(found))
    return found.conflict
  }

  test('names the limit that asks too much certainty, once, with what stands against it', () => {
    // 52.1 - 60 x 0.787 is 4.9: not even groundnut meal alone is so sure of 21 % of protein
    expect([...conflictOf(withZ(cattleProblem, 60))].sort()).toEqual(['batch', 'nutrient:protein:min'])
    // 52.1 - 30 x 0.787 is 28.5: it is, but it has too little fat
    expect([...conflictOf(withZ(cattleProblem, 30))].sort()).toEqual(['batch', 'nutrient:fat:min', 'nutrient:protein:min'])
  })

  test('names a set also where limits conflict by so little that the curves alone confirm none', { timeout: 60_000 }, () => {
    // six nutrients within narrow windows: a z of 1.84 is just possible
    const least = [12.2758, 10.6811, 1.26649, 4.93822, 7.22436, 6.41615]
    const most = [19.316, 15.3401, 1.88764, 7.34394, 8.08852, 7.60183]
    const windowed = (z: number): FormulaProblem => {
      const problem = randomProblem(9, { lots: 16, nutrients: 6, certain: 6, z })
      return { ...problem, nutrients: least.map((min, n) => ({ id: `n${n}`, basis: 'concentration', z, min, max: most[n] })) }
    }
    expect(optimum(windowed(1.84)).certainty?.violation ?? 1).toBeLessThan(5e-7)
    const conflict = conflictOf(windowed(1.842))
    expect(new Set(conflict).size).toBe(conflict.length)
    // those alone cannot hold either, says HiGHS
    const problem = windowed(1.842)
    const alone: FormulaProblem = {
      ...problem,
      ingredients: problem.ingredients.map(({ max, ...one }) => (conflict.includes(`ingredient:${one.id}:max`) ? { ...one, max } : one)),
      nutrients: problem.nutrients?.flatMap(({ min, max, ...one }) => {
        const [low, high] = [conflict.includes(`nutrient:${one.id}:min`), conflict.includes(`nutrient:${one.id}:max`)]
        return low || high ? [{ ...one, ...(low ? { min } : {}), ...(high ? { max } : {}) }] : []
      }),
    }
    expect(formulate(alone, highs).status).not.toBe('optimal')
  })

  test('sets of 25 random problems cannot hold, and can without any one of their limits', { timeout: 180_000 }, () => {
    let seen = 0
    for (let seed = 1; seen < 25 && seed < 400; seed += 1) {
      const problem = randomProblem(seed, { ...small, z: 9 })
      const found = formulate(problem, highs)
      if (found.status === 'optimal') continue
      if (found.status !== 'infeasible') throw new Error(`${seed} ${JSON.stringify(found)}`)
      seen += 1
      expect(new Set(found.conflict).size).toBe(found.conflict.length)
      const keeping = (ids: readonly string[]): FormulaProblem => ({
        batch: ids.includes('batch') ? problem.batch : { size: problem.batch?.size ?? 0, relation: '>=' },
        ingredients: problem.ingredients.map(({ max, ...one }) => (ids.includes(`ingredient:${one.id}:max`) ? { ...one, max } : one)),
        nutrients: problem.nutrients?.filter(({ id }) => ids.some((other) => other.startsWith(`nutrient:${id}:`))),
      })
      if (found.conflict.includes('batch')) {
        expect(formulate(keeping(found.conflict), quick).status, `problem ${seed}`).toBe('infeasible')
        for (const id of found.conflict.filter((one) => one !== 'batch'))
          expect(formulate(keeping(found.conflict.filter((other) => other !== id)), quick).status, `problem ${seed} without ${id}`).toBe(
            'optimal',
          )
      }
    }
    expect(seen).toBe(25)
  })
})

describe('asked oddly', () => {
  test('refuses a z below zero or without end, and a content that nobody knows', () => {
    expect(formulateCertain(withZ(cattleProblem, -1), quick)).toMatchObject({ status: 'failed', reason: 'unsupported' })
    expect(formulateCertain(withZ(cattleProblem, Infinity), quick)).toMatchObject({ status: 'failed', reason: 'unsupported' })
    const unknown = { ...cattleProblem, ingredients: cattleProblem.ingredients.map(({ nutrients: _gone, ...one }) => one) }
    expect(formulate(unknown, quick)).toMatchObject({ status: 'failed', reason: 'unknown-content' })
  })

  test('the re-check sees a mix that holds at the mean only', () => {
    const plain = optimum(atMean(cattleProblem))
    expect(certaintyViolations(cattleProblem, Object.values(plain.amounts))).toMatchObject([{ id: 'nutrient:protein:min' }])
    expect(recheck(cattleProblem, Object.values(plain.amounts)).map(({ id }) => id)).toEqual(['nutrient:protein:min'])
  })

  test('whole amounts keep the certainty too, at a cost between the free mix and no answer', () => {
    const steps: FormulaProblem = { ...cattleProblem, ingredients: cattleProblem.ingredients.map((one) => ({ ...one, increment: 0.05 })) }
    const found = optimum(steps, highs)
    const amounts = Object.values(found.amounts)
    expect(certaintyViolations(steps, amounts)).toEqual([])
    for (const amount of amounts) expect(Math.abs(amount / 0.05 - Math.round(amount / 0.05))).toBeLessThan(1e-6)
    // every mix in steps of a twentieth, tried one by one
    let best = Infinity
    for (let a = 0; a <= 20; a += 1)
      for (let b = 0; a + b <= 20; b += 1)
        for (let c = 0; a + b + c <= 20; c += 1) {
          const tried = [a, b, c, 20 - a - b - c].map((part) => part / 20)
          if (recheck(steps, tried).length > 0) continue
          best = Math.min(
            best,
            steps.ingredients.reduce((sum, { cost }, i) => sum + cost * (tried[i] ?? 0), 0),
          )
        }
    expect(found.objective).toBeCloseTo(best, 6)
  })

  test('a free batch and a total keep their certainty as a fixed batch does', () => {
    const free: FormulaProblem = { ...cattleProblem, batch: { size: 1, relation: '>=' } }
    expect(optimum(free).objective).toBeCloseTo(29.8943781588, 6)
    const total: FormulaProblem = {
      ...cattleProblem,
      nutrients: cattleProblem.nutrients?.map((one) => ({ ...one, basis: 'total' as const })),
    }
    expect(optimum(total).objective).toBeCloseTo(29.8943781588, 6)
  })
})
