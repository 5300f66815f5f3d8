import { expect, test } from 'vitest'
import { coverDays } from '#core/stock/cover'
import { parseKg } from '#core/quantity/mass'

test('stock lasts as many whole days as it holds days of the use of four weeks; without use nobody can say', () => {
  // 280 kg in 28 days are 10 kg a day
  const used = parseKg('280.000')
  expect(coverDays(parseKg('95.000'), used)).toBe(9)
  expect(coverDays(parseKg('100.000'), used)).toBe(10)
  expect(coverDays(parseKg('0.000'), used)).toBe(0)
  expect(coverDays(parseKg('500.000'), parseKg('0.000'))).toBeNull()
})
