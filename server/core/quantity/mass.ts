import { MillError } from '../errors.js'

/** A whole number of grams. Kilograms have three decimals everywhere, so every mass of the mill is exact in grams. */
export type Grams = number & { readonly unit: 'g' }

/** More than any mill holds (a million tonnes), and far below 2^53, so that sums of many masses stay exact. */
export const MOST_GRAMS = 1e12

const isMass = (value: number): value is Grams => Number.isSafeInteger(value) && Math.abs(value) <= MOST_GRAMS

/** A whole number as grams; throws `bad-input` when it is no whole number or absurdly large. */
export function grams(value: number): Grams {
  if (!isMass(value)) throw new MillError('bad-input', { grams: String(value) })
  return value === 0 ? (0 as Grams) : value
}

const CANONICAL_KG = /^(-?)(0|[1-9]\d{0,8})\.(\d{3})$/
const WRITTEN_KG = /^(0|[1-9]\d{0,8})(?:\.(\d{1,3}))?$/

/** Kilograms as they travel ("82.000", "-3.500"): exactly three decimals, no leading zeros, no "-0.000". Throws `bad-input` otherwise. */
export function parseKg(text: string): Grams {
  const match = CANONICAL_KG.exec(text)
  if (!match || text === '-0.000') throw new MillError('bad-input', { kilograms: text })
  const magnitude = Number(match[2]) * 1000 + Number(match[3])
  return grams(match[1] === '-' ? -magnitude : magnitude)
}

/** Kilograms as people write them ("82", "82.5"): not negative, at most three decimals; null when it cannot be read without guessing. */
export function readKg(text: string): Grams | null {
  const match = WRITTEN_KG.exec(text)
  if (!match) return null
  const value = Number(match[1]) * 1000 + Number((match[2] ?? '').padEnd(3, '0'))
  return isMass(value) ? value : null
}

/** Grams as kilograms with three decimals: 82000 -> "82.000". Exact. */
export function formatKg(value: Grams): string {
  const magnitude = Math.abs(value)
  const whole = Math.trunc(magnitude / 1000)
  return `${value < 0 ? '-' : ''}${whole}.${String(magnitude % 1000).padStart(3, '0')}`
}

/** The sum of masses, exact; throws `bad-input` where it would leave the safe range. */
export const sumGrams = (values: Iterable<Grams>): Grams => {
  let sum = 0
  for (const value of values) sum = grams(sum + value)
  return grams(sum)
}

/** Grams as floating kilograms, for composition and formulation only. */
export const kgFloat = (value: Grams): number => value / 1000

/** Floating kilograms to the nearest gram (halves away from zero), for what comes out of formulation. Throws `bad-input` for NaN. */
export const gramsFromFloatKg = (kg: number): Grams => grams(Math.sign(kg) * Math.round(Math.abs(kg) * 1000))

const PERCENT = /^(0|[1-9]\d?|100)(?:\.(\d{1,4}))?$/

/**
 * The grams that a percentage of a mass is: `shareGrams(500 kg, "0.25")` = 1250 g. The percentage is a decimal string of at most four
 * decimals between 0 and 100, the result rounded to the nearest gram (halves up). Throws `bad-input` for another percentage.
 */
export function shareGrams(total: Grams, percent: string): Grams {
  const match = PERCENT.exec(percent)
  const tenThousandths = match ? Number(match[1]) * 10_000 + Number((match[2] ?? '').padEnd(4, '0')) : Number.NaN
  if (!(tenThousandths <= 1_000_000) || total < 0) throw new MillError('bad-input', { percent, grams: total })
  return grams(Number((BigInt(total) * BigInt(tenThousandths) * 2n + 1_000_000n) / 2_000_000n))
}

/** A mass in `count` parts that differ by at most one `step` (the last odd grams go to the last part); they sum exactly to `total`. */
export function divideEvenly(total: Grams, count: number, step: Grams): Grams[] {
  const steps = Math.floor(total / step)
  const parts = Array.from({ length: count }, (_, i) => (Math.floor(steps / count) + (i < steps % count ? 1 : 0)) * step)
  const last = parts.length - 1
  return parts.map((part, i) => grams(i === last ? part + (total - steps * step) : part))
}
