import { describe, expect, test } from 'vitest'
import { samplePlan } from '#core/receiving/sampling'
import { grams } from '#core/quantity/mass'

// Every row of mill_practice.csv below is from Regulation (EC) 152/2009, Annex I, text read ("EU152_2009, read").
const plan = (tonnes: number, bags: number | null, category: string) => samplePlan({ net: grams(Math.round(tonnes * 1e6)), bags, category })
const MINERAL = 'mineral'

describe('portions of a lot without mould poisons', () => {
  test.each([
    ['SAM-01', 0.05, 7],
    ['SAM-01', 2.5, 7],
    ['SAM-02', 2.501, 8],
    ['SAM-02', 5, 10],
    ['SAM-02', 20, 20],
    ['SAM-02', 45.1, 31],
    ['SAM-02', 80, 40],
    ['SAM-02', 100, 40],
  ])('%s: %f t loose need %i', (rule, tonnes, increments) => {
    expect(plan(tonnes, null, MINERAL)).toMatchObject({ increments, bagsToOpen: null, forMould: false })
    expect(plan(tonnes, null, MINERAL).rules).toEqual([rule, 'SAM-11', 'SAM-12'])
  })

  test.each([
    ['SAM-03', 1, 1],
    ['SAM-03', 20, 1],
    ['SAM-04', 21, 3],
    ['SAM-04', 150, 3],
    ['SAM-05', 151, 5],
    ['SAM-05', 400, 5],
    ['SAM-06', 401, 6],
    ['SAM-06', 900, 8],
    ['SAM-06', 1000, 8],
    ['SAM-06', 30_000, 40],
  ])('%s: of %i bags %i are opened', (rule, bags, bagsToOpen) => {
    const found = plan(2, bags, MINERAL)
    expect(found.bagsToOpen).toBe(bagsToOpen)
    expect(found.rules).toContain(rule)
  })

  test.each([
    [2.5, 4],
    [2.6, 7],
  ])('SAM-10: %f t of oil need %i', (tonnes, increments) => {
    expect(plan(tonnes, 20, 'fat')).toMatchObject({ increments, liquid: true, forMould: false })
    expect(plan(tonnes, 20, 'fat').rules).toContain('SAM-10')
  })
})

describe('portions of a lot that may carry mould poisons', () => {
  test.each([
    // 2.5 times 7, 11 (the root of 108 is 10.4) and 40, rounded up
    ['SAM-07', 2, 18],
    ['SAM-07', 5.4, 28],
    ['SAM-07', 79.9, 100],
    ['SAM-08', 80, 100],
    ['SAM-08', 100, 100],
  ])('%s: %f t need %i', (rule, tonnes, increments) => {
    expect(plan(tonnes, null, 'cereal')).toMatchObject({ increments, forMould: true })
    expect(plan(tonnes, null, 'cereal').rules).toContain(rule)
  })

  test('SAM-07 is taken for the bags too, and never more bags than there are', () => {
    expect(plan(5.4, 60, 'cereal').bagsToOpen).toBe(8)
    expect(plan(0.18, 2, 'cereal').bagsToOpen).toBe(2)
  })

  test.each(['cereal', 'cereal_byproduct', 'oilseed_meal', 'pulse', 'root'])('is %s', (category) =>
    expect(plan(1, null, category).forMould).toBe(true),
  )
  test.each(['mineral', 'premix', 'amino_acid', 'animal_protein', 'fat'])('is not %s', (category) =>
    expect(plan(1, null, category).forMould).toBe(false),
  )
})

test('SAM-11 and SAM-12: the portions make 4 kg at least and end in two sealed samples', () => {
  for (const [tonnes, bags, category] of [
    [0.05, 1, 'mineral'],
    [5.4, 60, 'cereal'],
    [100, null, 'oilseed_meal'],
  ] as const) {
    const { increments, gramsEach, aggregateKg, finalSamples } = plan(tonnes, bags, category)
    expect(increments * gramsEach).toBeGreaterThanOrEqual(4000)
    expect((increments * (gramsEach - 1)) / 1000).toBeLessThan(aggregateKg)
    expect(finalSamples).toBe(2)
  }
})
