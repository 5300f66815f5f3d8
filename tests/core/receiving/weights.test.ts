import { expect, test } from 'vitest'
import { netOf, noteDifference, shortWeights } from '#core/receiving/weights'
import { grams } from '#core/quantity/mass'

const g = grams

test('net is gross less tare less the empty bags, to the gram', () => {
  expect(netOf({ gross: g(12_480_000), tare: g(7_020_000), bags: 60, emptyBagG: null })).toBe(5_460_000)
  // 60 sisal sacks of 1,050 g
  expect(netOf({ gross: g(12_480_000), tare: g(7_020_000), bags: 60, emptyBagG: 1050 })).toBe(5_397_000)
  expect(netOf({ gross: g(5_000), tare: g(5_000), bags: null, emptyBagG: 1050 })).toBe(0)
})

test('a delivery that weighs less than its note is told with a minus', () => {
  expect(noteDifference(g(5_397_000), g(5_400_000))).toEqual({ difference: -3_000, pct: expect.closeTo(-0.05556, 5) })
  expect(noteDifference(g(5_405_000), g(5_400_000)).difference).toBe(5_000)
})

test('short weights of a supplier count only lots whose note had kilograms', () => {
  expect(shortWeights([{ net: g(900_000), noted: null }])).toBeNull()
  expect(
    shortWeights([
      { net: g(900_000), noted: null },
      { net: g(985_000), noted: g(1_000_000) },
      { net: g(1_002_000), noted: g(1_000_000) },
      { net: g(500_000), noted: g(500_000) },
    ]),
  ).toEqual({ lots: 3, shortLots: 1, noted: 2_500_000, difference: -13_000 })
})
