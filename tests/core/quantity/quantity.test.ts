import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { MillError } from '#core/errors'
import { divideEvenly, formatKg, grams, gramsFromFloatKg, parseKg, readKg, shareGrams, sumGrams } from '#core/quantity/mass'
import { cents, costOf, formatMoney, formatPricePerKg, parseMoney, parsePricePerKg, sumCents } from '#core/quantity/money'

const seeded = { seed: 20261125, numRuns: 500 }
const anyGrams = fc.integer({ min: -999_999_999_999, max: 999_999_999_999 }).map(grams)
const mass = fc.integer({ min: 0, max: 100_000_000 }).map(grams)

describe('kilograms', () => {
  test('round trip exactly between text and grams', () => {
    fc.assert(
      fc.property(anyGrams, (value) => parseKg(formatKg(value)) === value),
      seeded,
    )
    expect([parseKg('82.000'), formatKg(grams(82_000)), formatKg(grams(-5)), formatKg(grams(0))]).toEqual([
      82_000,
      '82.000',
      '-0.005',
      '0.000',
    ])
  })

  test.each(['82', '82.0', '082.000', '82.0000', '+1.000', '-0.000', '1e3', ' 1.000', '1,000', '', 'NaN', '9999999999.000'])(
    'refuses %j as it is not canonical',
    (text) => {
      expect(() => parseKg(text)).toThrow(MillError)
    },
  )

  test('are read as people write them, and never guessed', () => {
    expect(['200', '200.5', '0.125', '0'].map(readKg)).toEqual([200_000, 200_500, 125, 0])
    expect(['1,5', '1.2345', '-1', '.5', '5.', '1e2', '007', 'text'].map(readKg)).toEqual(Array(8).fill(null))
  })

  test('are whole grams or refused', () => {
    for (const value of [0.5, Number.NaN, Infinity, 2 ** 53, 1e13]) expect(() => grams(value)).toThrow(MillError)
    expect([gramsFromFloatKg(0.1 + 0.2), gramsFromFloatKg(-1.0005), Object.is(grams(-0), 0)]).toEqual([300, -1001, true])
  })

  test('sum as exactly as the decimals they print', () => {
    fc.assert(
      fc.property(fc.array(mass, { maxLength: 50 }), (values) => {
        const sum = values.map((value) => BigInt(formatKg(value).replace('.', ''))).reduce((a, b) => a + b, 0n)
        return BigInt(formatKg(sumGrams(values)).replace('.', '')) === sum
      }),
      seeded,
    )
  })

  test('a share is within half a gram, and shares of 100 % are the whole', () => {
    expect([shareGrams(grams(500_000), '0.25'), shareGrams(grams(333_300), '0.25'), shareGrams(grams(1), '50')]).toEqual([1250, 833, 1])
    fc.assert(
      fc.property(mass, fc.integer({ min: 0, max: 1_000_000 }), (total, tenThousandths) => {
        const text = `${Math.trunc(tenThousandths / 10_000)}.${String(tenThousandths % 10_000).padStart(4, '0')}`
        return Math.abs(shareGrams(total, text) * 1_000_000 - total * tenThousandths) <= 500_000
      }),
      seeded,
    )
    for (const text of ['100.0001', '101', '-1', '0.12345', '450', 'x'])
      expect(() => shareGrams(grams(1000), text), text).toThrow(MillError)
  })

  test('even parts sum to the whole and differ by at most one step', () => {
    fc.assert(
      fc.property(mass, fc.integer({ min: 1, max: 40 }), fc.constantFrom(1, 100, 500), (total, count, step) => {
        const parts = divideEvenly(total, count, grams(step))
        const spread = Math.max(...parts) - Math.min(...parts)
        return parts.length === count && sumGrams(parts) === total && spread < 2 * step
      }),
      seeded,
    )
  })
})

describe('money', () => {
  test('round trips exactly, prices with four decimals', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: -99_999_999_999, max: 99_999_999_999 }).map(cents),
        (value) => parseMoney(formatMoney(value)) === value,
      ),
      seeded,
    )
    expect(formatPricePerKg(parsePricePerKg('62.5001'))).toBe('62.5001')
    for (const text of ['62.5', '-1.0000', '1.00', '01.0000']) expect(() => parsePricePerKg(text), text).toThrow(MillError)
    for (const text of ['1', '1.5', '-0.00', '1.005', '1,00']) expect(() => parseMoney(text), text).toThrow(MillError)
  })

  test('what a mass costs is exact but for one rounding to the cent, and a reversal is its opposite', () => {
    // 82 kg at 62.5000 is 5,125.00; 1 g at 5.0000 is half a cent, rounded away from zero (arithmetic)
    expect([
      costOf(parseKg('82.000'), parsePricePerKg('62.5000')),
      costOf(grams(1), parsePricePerKg('5.0000')),
      costOf(grams(-1), parsePricePerKg('5.0000')),
    ]).toEqual([512_500, 1, -1])
    fc.assert(
      fc.property(mass, fc.integer({ min: 0, max: 100_000_000 }), (value, price) => {
        const priced = parsePricePerKg(`${Math.trunc(price / 10_000)}.${String(price % 10_000).padStart(4, '0')}`)
        const error = BigInt(costOf(value, priced)) * 100_000n - BigInt(value) * BigInt(price)
        return error <= 50_000n && error >= -50_000n && costOf(grams(-value), priced) === cents(-costOf(value, priced))
      }),
      seeded,
    )
    expect(sumCents([cents(10), cents(20)])).toBe(30)
  })
})
