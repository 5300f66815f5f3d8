/**
 * What a problem may be stated in. A double holds 15 figures: above 1e15 it no longer tells one unit from the next, and between these two any
 * three figures can be multiplied or divided without leaving what a double and the solvers can hold. All that a feed mill weighs, buys or
 * analyses is far within them (the ocean is 1.4e21 kg, from memory; a picogram is 1e-15 kg).
 */
export const LARGEST_FIGURE = 1e15
export const SMALLEST_FIGURE = 1e-15

const isBetween = (value: number, smallest: number, largest: number): boolean =>
  value === 0 || (Math.abs(value) >= smallest && Math.abs(value) <= largest)

export const isFigure = (value: number): boolean => isBetween(value, SMALLEST_FIGURE, LARGEST_FIGURE)
export const FIGURE_RULE = 'must be zero, or from 1e-15 to 1e15 in size'

/** A variance is a square. */
export const isSquareOfFigure = (value: number): boolean => isBetween(value, SMALLEST_FIGURE ** 2, LARGEST_FIGURE ** 2)
export const SQUARE_RULE = 'must be zero, or from 1e-30 to 1e30'

/** The re-check takes amounts for equal that lie 1e-9 apart, so that a smaller step or least use would be no limit at all. */
export const SMALLEST_STEP = 1e-9

/**
 * The same in a batch: what is a billionth of all amounts counts as not used (`recheck-choices.ts`), and a step must be well clear of that.
 * One gram in a batch of a hundred tonnes.
 */
export const SMALLEST_SHARE = 1e-8
