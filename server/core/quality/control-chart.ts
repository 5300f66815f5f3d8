/** Fewer lots than this tell a usual range too poorly to draw one (working judgement, no source). */
export const LEAST_LOTS = 8

/**
 * Mean distance of two values of one normal distribution, in its standard deviations: 2 / root pi = 1.128, the d2 of two in every table
 * of control charts. Three deviations on each side of the mean are therefore 3 / 1.128 = 2.66 mean moving ranges.
 */
export const D2_OF_TWO = 1.128
const DEVIATIONS = 3

export type UsualRange = { readonly low: number; readonly high: number }

export type ControlChart = {
  readonly mean: number
  /** Of the values around their mean, by n - 1; null for one value. It holds the drift, the usual range does not. */
  readonly sd: number | null
  /** Null under `LEAST_LOTS` values. */
  readonly range: UsualRange | null
  /** Places of the values outside the usual range, in order. */
  readonly outside: readonly number[]
}

const meanOf = (values: readonly number[]): number => values.reduce((sum, value) => sum + value, 0) / values.length

const sdOf = (values: readonly number[], mean: number): number | null =>
  values.length < 2 ? null : Math.sqrt(values.reduce((sum, value) => sum + (value - mean) ** 2, 0) / (values.length - 1))

const movingRanges = (values: readonly number[]): number[] => values.slice(1).map((value, i) => Math.abs(value - (values[i] ?? value)))

/** Values as far apart as the last bit of their mean are equal: a supplier of ten equal lots has nobody outside. */
const SAME = 1e-9

/**
 * A chart of single values in the order in which they came, and of how far each lies from the one before (Shewhart's chart of
 * individuals): the usual range is the mean and three standard deviations on each side, and the deviation comes from the distances of
 * neighbours alone, so that a slow drift does not widen the range that is to show it. A content is never below nothing, so neither is
 * the range. The one rule is a point outside. No values: undefined.
 */
export const individualsChart = (values: readonly number[]): ControlChart | undefined => {
  if (values.length === 0) return undefined
  const mean = meanOf(values)
  const sd = sdOf(values, mean)
  if (values.length < LEAST_LOTS) return { mean, sd, range: null, outside: [] }
  const half = (DEVIATIONS / D2_OF_TWO) * meanOf(movingRanges(values))
  const range = { low: Math.max(0, mean - half), high: mean + half }
  const outside = values.flatMap((value, place) => (value < range.low - SAME || value > range.high + SAME ? [place] : []))
  return { mean, sd, range, outside }
}
