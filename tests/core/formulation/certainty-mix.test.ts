import { describe, expect, test } from 'vitest'
import { formulate } from '#core/formulation/formulate'
import type { FormulaLimits } from '#core/formulation/limits'
import type { MixLot } from '#core/formulation/mix-lot'
import { mixProblem } from '#core/formulation/mix-problem'
import { requirementLimit } from '#core/formulation/requirement-limit'
import { createGlpkSolver } from '#platform/solver/glpk'

const glpk = await createGlpkSolver()

const maize: MixLot = {
  id: 'maize',
  ingredientId: 'maize',
  pricePerKg: 40,
  freeKg: 1000,
  contents: { CP: 8, Ca: 0.02 },
  spreads: { CP: { own: 0.4, shared: { 'book maize': 0.2 } }, Ca: { own: 0.01 } },
}
const soya: MixLot = {
  id: 'soya',
  ingredientId: 'soya',
  pricePerKg: 90,
  freeKg: 1000,
  contents: { CP: 44, Ca: 0.3 },
  spreads: { CP: { own: 1.5 }, Ca: { own: 0.05 } },
}
const limestone: MixLot = {
  id: 'limestone',
  ingredientId: 'limestone',
  pricePerKg: 10,
  freeKg: 1000,
  contents: { CP: 0, Ca: 38 },
  spreads: { Ca: { own: 1 } },
}
const lots = [maize, soya, limestone]
const limitsWith = (certainty?: number): FormulaLimits => ({
  nutrients: [
    { nutrient: 'CP', min: 16, ...(certainty === undefined ? {} : { certainty }) },
    { nutrient: 'Ca', min: 0.9, max: 1.2, ...(certainty === undefined ? {} : { certainty }) },
  ],
  ratios: [],
  ingredients: [],
  groups: [],
})

describe('a formula that asks for certainty', () => {
  const { problem, leftOut } = mixProblem({ batchKg: 100, lots, limits: limitsWith(0.95) })

  test('gives its z and the spreads to the problem, under both names of a nutrient', () => {
    expect(leftOut).toEqual([])
    expect(problem.nutrients?.map(({ id, z }) => [id, z?.toFixed(3)])).toEqual([
      ['CP', '1.645'],
      ['Ca', '1.645'],
      ['Ca~worst', '1.645'],
    ])
    expect(problem.ingredients[0]?.spreads).toEqual({ CP: maize.spreads?.CP, Ca: { own: 0.01 }, 'Ca~worst': { own: 0.01 } })
    // nothing of protein is in limestone, and that is certain
    expect(Object.keys(problem.ingredients[2]?.spreads ?? {})).toEqual(['Ca', 'Ca~worst'])
  })

  test('costs more than one that does not, and says what each limit reached', () => {
    const certain = formulate(problem, glpk)
    const plain = formulate(mixProblem({ batchKg: 100, lots, limits: limitsWith() }).problem, glpk)
    if (certain.status !== 'optimal' || plain.status !== 'optimal') throw new Error('no mix')
    expect(certain.objective).toBeGreaterThan(plain.objective)
    expect(plain.certainty).toBeUndefined()
    const protein = certain.certainty?.limits.find(({ id }) => id === 'nutrient:CP:min')
    // by hand: two lots of protein, so sd^2 = (0.4^2 + 0.2^2) m^2 + 1.5^2 s^2 in shares of the mix
    const [m, s] = [(certain.amounts['maize'] ?? 0) / 100, (certain.amounts['soya'] ?? 0) / 100]
    expect(protein?.sd).toBeCloseTo(Math.sqrt(0.2 * m * m + 2.25 * s * s), 9)
    expect((protein?.mean ?? 0) - 1.6448536 * (protein?.sd ?? 0)).toBeCloseTo(16, 4)
  })

  test('with half of certainty is the plain one, byte for byte', () => {
    expect(mixProblem({ batchKg: 100, lots, limits: limitsWith(0.5) }).problem.nutrients).toEqual(
      mixProblem({ batchKg: 100, lots, limits: limitsWith() }).problem.nutrients,
    )
  })

  test('leaves out a lot of which nobody knows how far it may lie, and says so; without certainty it stays', () => {
    const vague: MixLot = { ...soya, id: 'vague', spreads: { Ca: { own: 0.05 } } }
    expect(mixProblem({ batchKg: 100, lots: [...lots, vague], limits: limitsWith(0.9) }).leftOut).toEqual([
      { lotId: 'vague', nutrient: 'CP', reason: 'no-spread' },
    ])
    expect(mixProblem({ batchKg: 100, lots: [...lots, vague], limits: limitsWith() }).leftOut).toEqual([])
  })

  test('gives no spread to what is counted as nothing or at its worst', () => {
    const unknown: MixLot = {
      ...soya,
      id: 'unknown',
      contents: { CP: 44, Ca: { unknown: true, worstCaseMax: 1 } },
      spreads: { CP: { own: 1 }, Ca: { own: 0.3 } },
    }
    const mix = mixProblem({ batchKg: 100, lots: [...lots, unknown], limits: limitsWith(0.9) })
    expect(mix.leftOut).toEqual([])
    expect(mix.problem.ingredients[3]).toMatchObject({ nutrients: { CP: 44, Ca: 0, 'Ca~worst': 1 } })
    expect(Object.keys(mix.problem.ingredients[3]?.spreads ?? {})).toEqual(['CP'])
  })
})

test('a requirement gives its minimum with certainty or its target at the mean, never both margins', () => {
  // broiler starter lysine of the mill's own table: 1.32 target, 1.22 floor (seed/reference/standards.README.md)
  const lysine = { nutrient: 'Lys', min: 1.22, target: 1.32 } as const
  const sure = (certainty: number) => ({ kind: 'minimum', certainty }) as const
  const target = { kind: 'target' } as const
  expect(requirementLimit(lysine, sure(0.95))).toEqual({ nutrient: 'Lys', min: 1.22, certainty: 0.95 })
  expect(requirementLimit(lysine, target)).toEqual({ nutrient: 'Lys', min: 1.32 })
  expect(requirementLimit(lysine, sure(0.5))).toEqual({ nutrient: 'Lys', min: 1.22 })
  expect(requirementLimit({ nutrient: 'AME', target: 3200 }, sure(0.95))).toEqual({ nutrient: 'AME', min: 3200 })
  const calcium = { nutrient: 'Ca', min: 0.9, max: 1.2 } as const
  expect(requirementLimit(calcium, sure(0.8))).toEqual({ ...calcium, certainty: 0.8 })
  expect(requirementLimit(calcium, target)).toEqual(calcium)
  expect(requirementLimit({ nutrient: 'Na', max: 0.3 }, target)).toEqual({ nutrient: 'Na', max: 0.3 })
})
