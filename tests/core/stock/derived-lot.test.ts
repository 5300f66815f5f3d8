import { describe, expect, test } from 'vitest'
import { grams, parseKg } from '#core/quantity/mass'
import { parsePricePerKg } from '#core/quantity/money'
import { carriedPrice, differsTooMuch, expectedOf, strictestTerms, type Terms } from '#core/stock/derived-lot'

test.each([
  // D. Karki (South Dakota extension), "Corn grain moisture shrinkage", 2019-10-25, read as an excerpt: 25 to 15.5 % loses 11.24 %.
  ['1000.000', 25, 15.5, 1000 * (1 - 0.1124), 0.05],
  // A seed company's agronomy page, "Estimating corn grain moisture shrink", its own example, read as an excerpt: 25.5 to 15.5 % loses 11.83 %.
  ['1000.000', 25.5, 15.5, 1000 * (1 - 0.1183), 0.05],
  // Purdue corn and soybean field guide as told by a farm paper, read as an excerpt: 1,000 bushels at 26 % are 870.6 at 15 %.
  ['1000.000', 26, 15, 870.6, 0.05],
])('%s kg dried from %d to %d %% leave what extension texts say', (kg, beforePct, afterPct, left, within) => {
  const expected = expectedOf(parseKg(kg), { beforePct, afterPct })
  expect(Math.abs(expected / 1000 - left)).toBeLessThan(within)
})

test('grinding and heaping should leave all that went in, to the gram', () => {
  expect(expectedOf(parseKg('812.345'), null)).toBe(812_345)
})

test.each([
  [990_000, false],
  [989_999, true],
  [1_010_000, false],
  [1_010_001, true],
])('%d g of 1,000 kg expected: differs too much %s (1 %% is reasonable handling loss)', (got, differs) => {
  expect(differsTooMuch(grams(got), grams(1_000_000))).toBe(differs)
})

test('what is left bears what was paid for all of it', () => {
  const parts = [
    { mass: grams(600_000), pricePerKg: parsePricePerKg('40.0000') },
    { mass: grams(400_000), pricePerKg: parsePricePerKg('45.0000') },
  ]
  expect(carriedPrice(parts, grams(1_000_000))).toBe(420_000)
  // 42,000 over 887.574 kg
  expect(carriedPrice(parts, grams(887_574))).toBe(Math.round((42_000 / 887.574) * 10_000))
})

describe('the terms of lots together are the strictest of each', () => {
  const terms = (more: Partial<Terms>): Terms => ({ expiresOn: null, retestOn: null, releasedFor: [], medicationDeclared: true, ...more })

  test('dates, declarations and feeds', () => {
    const one = terms({ expiresOn: '2027-03-01', releasedFor: ['layer_peak', 'pullet_grower'] })
    const other = terms({ expiresOn: '2027-01-15', retestOn: '2026-12-24', releasedFor: ['layer_peak'], medicationDeclared: false })
    expect(strictestTerms([one, other, terms({})])).toEqual({
      expiresOn: '2027-01-15',
      retestOn: '2026-12-24',
      releasedFor: ['layer_peak'],
      medicationDeclared: false,
    })
  })

  test('no feed for both is not every feed', () => {
    expect(strictestTerms([terms({ releasedFor: ['layer_peak'] }), terms({ releasedFor: ['pullet_grower'] })])).toBeNull()
  })
})
