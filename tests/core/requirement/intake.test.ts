import { describe, expect, test } from 'vitest'
import { formulate } from '#core/formulation/formulate'
import type { MixLot } from '#core/formulation/mix-lot'
import { mixProblem } from '#core/formulation/mix-problem'
import { henEnergyKcal } from '#core/requirement/hen-energy'
import { concentrationFor, costPerBirdDay, costPerDozenEggs, feedForEnergyG, perDay, ratioOfPerDay } from '#core/requirement/intake'
import { createGlpkSolver } from '#platform/solver/glpk'

describe('the energy need of a hen', () => {
  test('1.75 kg, 22 C, 50 g of egg, no gain: about 301 kcal a day (NRC 1994, from memory)', () => {
    // 1.75^0.75 = 1.5215; x (173 - 42.9) = 197.95; + 2.07 x 50 = 103.5; by hand 301.45
    expect(henEnergyKcal({ weightKg: 1.75, temperatureC: 22, gainG: 0, eggMassG: 50 })).toBeCloseTo(301.45, 2)
  })

  test('each part alone, by hand: 1 kg at 0 C needs 173, a gram gained 5.5, a gram of egg 2.07', () => {
    expect(henEnergyKcal({ weightKg: 1, temperatureC: 0, gainG: 0, eggMassG: 0 })).toBeCloseTo(173, 10)
    expect(henEnergyKcal({ weightKg: 1, temperatureC: 20, gainG: 4, eggMassG: 10 })).toBeCloseTo(173 - 39 + 22 + 20.7, 10)
  })

  test.each([
    { weightKg: 1.75, temperatureC: 36, gainG: 0, eggMassG: 50 },
    { weightKg: 1.75, temperatureC: -1, gainG: 0, eggMassG: 50 },
    { weightKg: 1.5, temperatureC: 35, gainG: -50, eggMassG: 0 },
    { weightKg: 0, temperatureC: 20, gainG: 0, eggMassG: 50 },
    { weightKg: 60, temperatureC: 20, gainG: 0, eggMassG: 50 },
    { weightKg: 1.75, temperatureC: 20, gainG: 0, eggMassG: -5 },
    { weightKg: Number.NaN, temperatureC: 20, gainG: 0, eggMassG: 50 },
  ])('says nothing outside what it holds for: %o', (hen) => {
    expect(henEnergyKcal(hen)).toBeNull()
  })
})

describe('what a bird eats and gets', () => {
  test('290 kcal at 2,900 kcal/kg is 100 g, in which 15 % protein is 15 g (the base of NRC 1994 table 2-3, from memory)', () => {
    expect(feedForEnergyG(290, 2900)).toBeCloseTo(100, 10)
    expect(perDay('CP', 15, 100)).toBeCloseTo(15, 10)
    expect(perDay('choline', 1050, 100)).toBeCloseTo(105, 10)
    expect(perDay('AME', 2900, 100)).toBeCloseTo(290, 10)
  })

  test('a concentration and an amount a day are each other back', () => {
    for (const nutrient of ['CP', 'choline', 'DEB', 'AME'] as const)
      expect(perDay(nutrient, concentrationFor(nutrient, 12.5, 108), 108)).toBeCloseTo(12.5, 10)
  })

  test('115 g a day at 48,000 a tonne is 5.52 a bird and day; 50 g of egg of 60 g each: 14.4 days for twelve eggs, 79.49 (by hand)', () => {
    expect(costPerBirdDay(115, 48_000)).toBeCloseTo(5.52, 10)
    expect(costPerDozenEggs(5.52, { eggMassG: 50, eggWeightG: 60 })).toBeCloseTo(79.488, 3)
    expect(costPerDozenEggs(5.52, { eggMassG: 0, eggWeightG: 60 })).toBeNull()
  })
})

describe('a limit a bird and day', () => {
  const lot = (id: string, pricePerKg: number, contents: MixLot['contents']): MixLot => ({
    id,
    ingredientId: id,
    pricePerKg,
    freeKg: 5000,
    contents,
  })
  // energies from seed/reference/ingredients.csv rounded; the prices are invented
  const lots = [lot('maize', 40, { AME: 3300, CP: 8.2 }), lot('bran', 25, { AME: 1900, CP: 14 }), lot('soya', 95, { AME: 2400, CP: 45 })]

  test('is kept at the intake that the mix itself leads to, and binds exactly', async () => {
    const needKcal = henEnergyKcal({ weightKg: 1.75, temperatureC: 22, gainG: 0, eggMassG: 50 }) ?? Number.NaN
    const limits = {
      nutrients: [{ nutrient: 'AME' as const, min: 2500 }],
      ratios: [ratioOfPerDay({ nutrient: 'CP', minPerDay: 17 }, needKcal)],
      ingredients: [],
      groups: [],
    }
    const found = formulate(mixProblem({ batchKg: 1000, lots, limits }).problem, await createGlpkSolver())
    if (found.status !== 'optimal') throw new Error(found.status)
    const of = (nutrient: 'AME' | 'CP') =>
      lots.reduce((sum, one) => sum + (found.amounts[one.id] ?? 0) * Number(one.contents[nutrient]), 0) / 1000
    expect(perDay('CP', of('CP'), feedForEnergyG(needKcal, of('AME')))).toBeCloseTo(17, 6)
  })
})
