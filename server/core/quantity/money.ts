import { MillError } from '../errors.js'
import type { Grams } from './mass.js'

/** A whole number of cents (hundredths of the mill's currency). */
export type Cents = number & { readonly unit: 'cent' }

/** A price for one kilogram in ten-thousandths of the currency: prices per tonne divide by a thousand without loss. */
export type PricePerKg = number & { readonly unit: 'currency/10000/kg' }

const MOST = 1e14
const isWhole = (value: number): boolean => Number.isSafeInteger(value) && Math.abs(value) <= MOST

/** A whole number as cents; throws `bad-input` when it is no whole number or absurdly large. */
export function cents(value: number): Cents {
  if (!isWhole(value)) throw new MillError('bad-input', { cents: String(value) })
  return (value === 0 ? 0 : value) as Cents
}

const decimals = (places: number) => new RegExp(`^(-?)(0|[1-9]\\d{0,9})\\.(\\d{${places}})$`)
const MONEY = decimals(2)
const PRICE = decimals(4)

function parse(pattern: RegExp, text: string, scale: number): number {
  const match = pattern.exec(text)
  const magnitude = match ? Number(match[2]) * scale + Number(match[3]) : Number.NaN
  if (!match || !isWhole(magnitude) || (match[1] === '-' && magnitude === 0)) throw new MillError('bad-input', { money: text })
  return match[1] === '-' ? -magnitude : magnitude
}

const format = (value: number, scale: number, places: number): string =>
  `${value < 0 ? '-' : ''}${Math.trunc(Math.abs(value) / scale)}.${String(Math.abs(value) % scale).padStart(places, '0')}`

/** Money as it travels ("1250.50"): exactly two decimals. Throws `bad-input` otherwise. */
export const parseMoney = (text: string): Cents => cents(parse(MONEY, text, 100))

/** Cents as money with two decimals, exact. */
export const formatMoney = (value: Cents): string => format(value, 100, 2)

/** A price per kilogram as it travels ("62.5000"): exactly four decimals, not negative. Throws `bad-input` otherwise. */
export function parsePricePerKg(text: string): PricePerKg {
  const value = parse(PRICE, text, 10_000)
  if (value < 0) throw new MillError('bad-input', { money: text })
  return value as PricePerKg
}

/** A price per kilogram with four decimals, exact. */
export const formatPricePerKg = (value: PricePerKg): string => format(value, 10_000, 4)

/**
 * What a mass costs at a price per kilogram, to the nearest cent, halves away from zero (so that a reversal is exactly the opposite).
 * The product is exact: grams x ten-thousandths = 1e-7 of the currency, divided once.
 */
export function costOf(mass: Grams, price: PricePerKg): Cents {
  const product = BigInt(mass) * BigInt(price)
  const magnitude = product < 0n ? -product : product
  const rounded = Number((magnitude * 2n + 100_000n) / 200_000n)
  return cents(product < 0n ? -rounded : rounded)
}

/** The sum of amounts of money, exact. */
export const sumCents = (values: Iterable<Cents>): Cents => {
  let sum = 0
  for (const value of values) sum = cents(sum + value)
  return cents(sum)
}
