import type { Result } from './assays.js'

/**
 * Variance of one aflatoxin result about the lot, as a multiple of the level: 13.7 ug/kg. From memory (Whitaker and others, shelled maize,
 * sample of 1.13 kg, 50 g test portion, one aliquot): 274.9 at 20 ug/kg, nearly in proportion to the level, four fifths of it sampling.
 */
const VARIANCE_PER_LEVEL = 274.9 / 20
const Z_95 = 1.645

/**
 * The largest mean of a lot that would still give such results once in twenty: mould sits in few kernels, so a sample misses it more often
 * than not, and one clean strip is not clean. Solves level - 1.645 sqrt(13.7 level / n) = mean of the results; ug/kg.
 */
export const poisonUpperBound = ({ readings }: Pick<Result, 'readings'>): number => {
  const n = readings.length
  const mean = readings.reduce((sum, { value }) => sum + value / n, 0)
  const half = (Z_95 * Math.sqrt(VARIANCE_PER_LEVEL / n)) / 2
  return (half + Math.sqrt(half ** 2 + mean)) ** 2
}
