import { expect, test } from 'vitest'
import { keepingOf, shelfLifeOf } from '#core/receiving/keeping'
import { lookFindings } from '#core/receiving/looks'

const maize = { ingredientId: 'maize_white', category: 'cereal', shelfLifeDays: 180 }

// mill_practice.csv, "storage life", TEXTBOOK from memory: the shorter end of each range.
test.each([
  ['STO-04 3 months above 30 C', 'premix_generic', 'premix', 90],
  ['STO-06 6-12 months', 'maize_yellow', 'cereal', 180],
  ['STO-07 3 months', 'sunflower_cake_high_fibre', 'oilseed_meal', 90],
  ['STO-08 1-2 weeks', 'rice_bran_full_fat', 'cereal_byproduct', 7],
  ['STO-09 3-6 months', 'fish_meal_60', 'animal_protein', 90],
])('%s', (row, key, category, days) => {
  expect(shelfLifeOf(key, category)).toEqual({ days, rule: row.slice(0, 6) })
  expect(keepingOf({ ingredientId: key, category, shelfLifeDays: days, moisturePct: 11 })).toEqual({ days, rule: row.slice(0, 6) })
})

test('maize keeps its months only under 13.5 % (STO-06); wetter it is a week, common practice without a source', () => {
  expect(keepingOf({ ...maize, moisturePct: 13.5 })).toEqual({ days: 180, rule: 'STO-06' })
  expect(keepingOf({ ...maize, moisturePct: 13.6 })).toEqual({ days: 7, rule: 'wet-grain' })
  expect(keepingOf({ ...maize, moisturePct: null })).toEqual({ days: 180, rule: 'STO-06' })
  expect(keepingOf({ ...maize, shelfLifeDays: null, moisturePct: 14 })).toEqual({ days: 7, rule: 'wet-grain' })
  expect(keepingOf({ ...maize, shelfLifeDays: 3, moisturePct: 14 })).toEqual({ days: 3, rule: 'wet-grain' })
})

test('a shelf life that the mill set itself names no row, and what nobody knows has none', () => {
  expect(keepingOf({ ...maize, shelfLifeDays: 120, moisturePct: 12 })).toEqual({ days: 120, rule: 'mill' })
  expect(keepingOf({ ingredientId: 'salt', category: 'mineral', shelfLifeDays: null, moisturePct: null })).toBeNull()
  expect(shelfLifeOf('salt', 'mineral')).toBeUndefined()
})

test('a point that failed warns against the release and says what was seen; a good one says nothing', () => {
  const found = lookFindings(
    [
      { point: 'smell', good: true, note: '' },
      { point: 'wet-bags', good: false, note: 'three bags' },
    ],
    47,
  )
  expect(found).toMatchObject([
    { ruleId: 'LOT-LOOK-WET-BAGS', severity: 'warn', what: { code: 'look-failed-wet-bags', facts: { lot: '47', note: 'three bags' } } },
  ])
})
