import { describe, expect, test } from 'vitest'
import { paymentOf } from '#core/receiving/payment'
import { grams } from '#core/quantity/mass'
import type { PricePerKg } from '#core/quantity/money'

const kg = (value: number) => grams(Math.round(value * 1000))
const price = (value: number) => Math.round(value * 10_000) as PricePerKg
const paidKg = (net: number, found: number, agreed: number) =>
  (paymentOf(kg(net), found, { price: price(1), agreedMoisturePct: agreed })?.paid ?? Number.NaN) / 1000

describe('paid kilograms at an agreed moisture', () => {
  test('lose 11.83 % from 25.5 to 15.5 % (agronomy page of a seed company, "Moisture shrink", read as an excerpt: 1,000 lb of maize)', () => {
    expect(100 - paidKg(1000, 25.5, 15.5) / 10).toBeCloseTo(11.83, 2)
    // The same page: 17.9 wet bushels are 15.8 bushels.
    expect(paidKg(17.9, 25.5, 15.5)).toBeCloseTo(15.8, 1)
  })

  test('lose 11.24 % from 25 to 15.5 % (D. Karki, South Dakota State University Extension, "Corn grain moisture shrinkage", 2019)', () => {
    expect(100 - paidKg(1000, 25, 15.5) / 10).toBeCloseTo(11.24, 2)
  })

  test('are more when the lot is drier than agreed', () => {
    expect(paidKg(1000, 12, 13.5)).toBeCloseTo((1000 * 88) / 86.5, 3)
  })
})

describe('the price as delivered', () => {
  test.each([
    // Alberta Agriculture, FAQ 7094: forage at 65 % moisture for $30 a ton is worth $38.57 at 55 %.
    [30, 65, 55, 38.57],
    // The same page: hay at 18 % for 2.5 cents a pound is 2.59 cents at 15 %.
    [2.5, 18, 15, 2.59],
  ])('%f agreed at %f %% is at %f %% found %f (Alberta Agriculture, FAQ 7094)', (agreedPrice, agreed, found, expected) => {
    const payment = paymentOf(kg(1000), found, { price: price(agreedPrice), agreedMoisturePct: agreed })
    expect((payment?.pricePerKgAsDelivered ?? 0) / 10_000).toBeCloseTo(expected, 2)
  })

  test('is the agreed one when nothing is corrected, and money is exact to the cent', () => {
    expect(paymentOf(kg(5400), 14.8, { price: price(42.4), agreedMoisturePct: null })).toEqual({
      paid: 5_400_000,
      money: 22_896_000,
      pricePerKgAsDelivered: 424_000,
    })
  })

  test('times what was weighed is the money owed, to what four decimals of a price can say', () => {
    for (const [net, found, agreed] of [
      [5400, 14.8, 13.5],
      [87.3, 9.1, 12],
      [27_345.6, 21.2, 13],
    ] as const) {
      const payment = paymentOf(kg(net), found, { price: price(42.37), agreedMoisturePct: agreed })
      expect(payment).not.toBeNull()
      if (payment === null) continue
      const byDelivered = (net * payment.pricePerKgAsDelivered) / 10_000
      expect(Math.abs(byDelivered - payment.money / 100)).toBeLessThan(net * 0.00005 + 0.03)
    }
  })
})

test.each([
  ['nothing was found', null, 13.5],
  ['0 % was found', 0, 13.5],
  ['100 % was found', 100, 13.5],
  ['0 % was agreed', 14, 0],
  ['100 % was agreed', 14, 100],
])('nothing can be told when %s', (_what, found, agreed) => {
  expect(paymentOf(kg(1000), found, { price: price(40), agreedMoisturePct: agreed })).toBeNull()
})
