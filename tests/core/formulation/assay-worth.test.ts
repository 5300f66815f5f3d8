import { describe, expect, test } from 'vitest'
import { expectedBelief, type AssayTest } from '#core/formulation/assay-belief'
import { nextBestAssays, type AssayWorth } from '#core/formulation/assay-worth'
import { formulate } from '#core/formulation/formulate'
import { zOf } from '#core/formulation/normal'
import type { FormulaProblem } from '#core/formulation/problem'
import { createGlpkSolver } from '#platform/solver/glpk'
import { simplexFirst } from '#platform/solver/simplex-first'
import { randomProblem } from './certain-problems.js'

const simplex = simplexFirst(await createGlpkSolver())

function ranked(problem: FormulaProblem, tests: readonly AssayTest[], options = {}): readonly AssayWorth[] {
  const found = nextBestAssays(problem, tests, simplex, options)
  if (found.kind !== 'ranked') throw new Error(JSON.stringify(found))
  return found.tests
}
const costOf = (problem: FormulaProblem): number => {
  const found = formulate(problem, simplex)
  return found.status === 'optimal' ? found.objective : Number.NaN
}

/**
 * The worth by brute force, by code of its own: results at 400 quantiles of what is expected, the belief after each by precisions
 * (normal-normal as textbooks give it), and a whole solve for each.
 */
function bruteForce(problem: FormulaProblem, { ingredient, nutrient, assaySd }: AssayTest, samples: number): number {
  const lot = problem.ingredients.find(({ id }) => id === ingredient)
  const mean = lot?.nutrients?.[nutrient] ?? Number.NaN
  const { own, shared = {} } = lot?.spreads?.[nutrient] ?? { own: 0 }
  const variance = own ** 2 + Object.values(shared).reduce((sum, sd) => sum + sd ** 2, 0)
  let total = 0
  for (let k = 0; k < samples; k += 1) {
    const result = mean + Math.sqrt(variance + assaySd ** 2) * zOf((k + 0.5) / samples)
    const precision = 1 / variance + 1 / assaySd ** 2
    const believed = (mean / variance + result / assaySd ** 2) / precision
    // what is left of the old error, and what of the assay's error comes in
    const left = 1 / variance / precision
    const after = {
      own: Math.hypot(left * own, (1 - left) * assaySd),
      shared: Object.fromEntries(Object.entries(shared).map(([key, sd]) => [key, left * sd])),
    }
    total += costOf({
      ...problem,
      ingredients: problem.ingredients.map((one) =>
        one.id === ingredient
          ? { ...one, nutrients: { ...one.nutrients, [nutrient]: believed }, spreads: { ...one.spreads, [nutrient]: after } }
          : one,
      ),
    })
  }
  return costOf(problem) - total / samples
}

describe('a belief before its result', () => {
  test('narrows as two normals do: 4 of deviation and an assay of 3 leave 2.4, and the mean moves by 3.2', () => {
    // 1/16 + 1/9 = 25/144, so 144/25 = 2.4 squared; the rest of the variance, 16 - 5.76 = 10.24 = 3.2 squared, is what the mean moves by
    const { meanSd, spread } = expectedBelief({ own: 4 }, 3)
    expect(meanSd).toBeCloseTo(3.2, 12)
    expect(spread.own).toBeCloseTo(2.4, 12)
  })

  test('narrows the part that it shares too, and to nothing with a perfect assay', () => {
    const { meanSd, spread } = expectedBelief({ own: 3, shared: { book: 4 } }, 0)
    expect(meanSd).toBeCloseTo(5, 12)
    expect(spread).toEqual({ own: 0, shared: { book: 0 } })
    const worse = expectedBelief({ own: 3, shared: { book: 4 } }, 5).spread
    expect(Math.hypot(worse.own, worse.shared?.['book'] ?? 0)).toBeCloseTo(Math.sqrt(12.5), 12)
  })
})

/** A used and an unused lot of each of five problems. */
const cases = [11, 12, 14, 15, 17].flatMap((seed) => {
  const problem = randomProblem(seed, { lots: 9, nutrients: 5, certain: 2, z: zOf(0.95) })
  const found = formulate(problem, simplex)
  if (found.status !== 'optimal') throw new Error(`problem ${seed} has no mix`)
  const byUse = problem.ingredients
    .filter((one) => (one.nutrients?.['n0'] ?? 0) > 0)
    .toSorted((a, b) => (found.amounts[b.id] ?? 0) - (found.amounts[a.id] ?? 0))
  const lots = [byUse[0], byUse.at(-1)]
  return lots.flatMap((lot) =>
    lot ? [{ seed, problem, test: { ingredient: lot.id, nutrient: 'n0', assaySd: 0.3 * (lot.spreads?.['n0']?.own ?? 0) } }] : [],
  )
})

describe('the worth of one more assay', { timeout: 240_000 }, () => {
  test('is that of a brute-force simulation on ten cases', () => {
    expect(cases).toHaveLength(10)
    let worthSomething = 0
    for (const { seed, problem, test: one } of cases) {
      const [found] = ranked(problem, [one])
      const expected = bruteForce(problem, one, 400)
      const cost = costOf(problem)
      // a twentieth of the worth, and a hundred-thousandth of the cost for what hardly matters
      expect(
        Math.abs((found?.worth ?? Number.NaN) - expected),
        `problem ${seed}, ${one.ingredient}: ${found?.worth} against ${expected}`,
      ).toBeLessThan(0.05 * Math.abs(expected) + 1e-5 * cost)
      if (Math.abs(expected) > 1e-4 * cost) worthSomething += 1
    }
    expect(worthSomething).toBeGreaterThanOrEqual(4)
  })

  test('lists the next best test first, tells whether it pays, and is for the kilograms concerned', () => {
    const problem = randomProblem(12, { lots: 9, nutrients: 5, certain: 2, z: zOf(0.95) })
    const tests = problem.ingredients.flatMap((lot) =>
      ['n0', 'n1'].map((nutrient): AssayTest => ({
        ingredient: lot.id,
        nutrient,
        assaySd: 0.2 * (lot.spreads?.[nutrient]?.own ?? 0),
        price: 100,
      })),
    )
    const all = ranked(problem, tests, { evaluate: tests.length })
    const nets = all.flatMap(({ net }) => (net === null ? [] : [net]))
    expect(nets).toEqual(nets.toSorted((a, b) => b - a))
    expect(all[0]?.worth).toBeGreaterThan(0)
    const ten = ranked(problem, tests, { evaluate: tests.length, kg: 10_000 })
    expect(ten[0]?.worth).toBeCloseTo(
      10 *
        (all.find(({ ingredient, nutrient }) => ingredient === ten[0]?.ingredient && nutrient === ten[0]?.nutrient)?.worth ?? Number.NaN),
      4,
    )
    for (const { worth, net, verdict } of all)
      if (worth !== null && worth > 1e-2) expect(verdict).toBe((net ?? 0) > 0 ? 'pays' : 'does-not-pay')
    // the first look puts the best test among those it would have worked out
    const best = [...all].sort((a, b) => (b.worth ?? 0) - (a.worth ?? 0))[0]
    const looked = [...all].sort((a, b) => b.screen - a.screen).slice(0, 6)
    expect(looked.map(({ ingredient, nutrient }) => `${ingredient} ${nutrient}`)).toContain(`${best?.ingredient} ${best?.nutrient}`)
  })

  test('can be below zero, and says so: knowing that the cheap lot is poor costs money', () => {
    // one lot only can be bought; at the mean it passes by a hair, so a result can only forbid or leave things as they are
    const problem: FormulaProblem = {
      batch: { size: 100, relation: '=' },
      ingredients: [
        { id: 'cheap', cost: 10, nutrients: { protein: 20 }, spreads: { protein: { own: 2 } } },
        { id: 'sure', cost: 30, nutrients: { protein: 40 }, spreads: { protein: { own: 0 } } },
      ],
      nutrients: [{ id: 'protein', min: 20, basis: 'concentration' }],
    }
    const [found] = ranked(problem, [{ ingredient: 'cheap', nutrient: 'protein', assaySd: 0.5 }])
    expect(found?.verdict).toBe('costs-more')
    // share s of the sure lot makes up a lot that is d below 20: s (20 + d) = d; 20 more a kilogram; d half-normal with the mean's deviation
    const moved = 4 / Math.sqrt(4.25)
    const steps = 20_000
    let cost = 0
    for (let k = 0; k < steps; k += 1) {
      const short = Math.max(0, -moved * zOf((k + 0.5) / steps))
      cost += (2000 * short) / (20 + short) / steps
    }
    expect(Math.abs((found?.worth ?? 0) + cost)).toBeLessThan(0.04 * cost)
  })

  test('is nothing where no limit asks, the spread is not known or nothing can be learnt', () => {
    const problem = randomProblem(12, { lots: 9, nutrients: 5, certain: 2, z: zOf(0.95) })
    const bare: FormulaProblem = { ...problem, ingredients: problem.ingredients.map((one, i) => (i === 0 ? { ...one, spreads: {} } : one)) }
    expect(ranked(bare, [{ ingredient: 'lot0', nutrient: 'n0', assaySd: 0.1 }])[0]).toMatchObject({ worth: 0, verdict: 'nothing-to-learn' })
    expect(ranked(problem, [{ ingredient: 'nobody', nutrient: 'n0', assaySd: 0.1 }])[0]?.verdict).toBe('nothing-to-learn')
    const impossible: FormulaProblem = { ...problem, nutrients: [{ id: 'n0', min: 1e6, basis: 'concentration', z: 1 }] }
    expect(nextBestAssays(impossible, [], simplex)).toMatchObject({ kind: 'no-mix', found: { status: 'infeasible' } })
  })

  test('an assay also moves what follows from it: twice the content, narrowed as its share of the error allows', () => {
    const base: FormulaProblem = {
      batch: { size: 1000, relation: '=' },
      ingredients: [
        { id: 'cake', cost: 60, nutrients: { CP: 40, Lys: 2.4 }, spreads: { CP: { own: 2 }, Lys: { own: 0.13 } } },
        { id: 'maize', cost: 30, nutrients: { CP: 8, Lys: 0.25 }, spreads: { CP: { own: 0.4 }, Lys: { own: 0.02 } } },
      ],
      nutrients: [{ id: 'Lys', min: 0.9, basis: 'concentration', z: zOf(0.95) }],
    }
    const alone = ranked(base, [{ ingredient: 'cake', nutrient: 'CP', assaySd: 0.3 }])[0]
    const followed = ranked(base, [{ ingredient: 'cake', nutrient: 'CP', assaySd: 0.3, moves: { Lys: 0.06 } }])[0]
    expect(Math.abs(alone?.worth ?? 1)).toBeLessThan(1e-2)
    expect(followed?.worth).toBeGreaterThan(100)
  })
})
