/** A feed with the value (content of one nutrient) that the square works on. */
export type PearsonFeed = { readonly name: string; readonly value: number }

export type PearsonOutcome<T> = T | { readonly kind: 'cannot'; readonly reason: 'target-outside' | 'no-mixture' }

export type PearsonSquare = {
  readonly kind: 'mix'
  /** Parts by the square: the other feed's distance from the target. */
  readonly partsFirst: number
  readonly partsSecond: number
  readonly fractionFirst: number
  readonly fractionSecond: number
}

/** Two feeds to one target, as a keeper's notebook does it (Pearson square). Cannot when the target is not between the two values. */
export function pearsonSquare(target: number, first: PearsonFeed, second: PearsonFeed): PearsonOutcome<PearsonSquare> {
  const partsFirst = Math.abs(second.value - target)
  const partsSecond = Math.abs(first.value - target)
  const sum = partsFirst + partsSecond
  const outside = (first.value - target) * (second.value - target) > 0
  if (outside || !(sum > 0)) return { kind: 'cannot', reason: 'target-outside' }
  return { kind: 'mix', partsFirst, partsSecond, fractionFirst: partsFirst / sum, fractionSecond: partsSecond / sum }
}

export type PearsonFixed = {
  readonly kind: 'mix'
  /** What the two feeds together must have, so that the whole has the target. */
  readonly requiredConcentrationOfRest: number
  readonly amountFirst: number
  readonly amountSecond: number
}

/** Two feeds beside fixed amounts of others, to a target of the whole. Cannot when the rest would need a value outside the two. */
export function pearsonWithFixed(
  total: number,
  target: number,
  fixed: readonly (PearsonFeed & { readonly amount: number })[],
  pair: { readonly first: PearsonFeed; readonly second: PearsonFeed },
): PearsonOutcome<PearsonFixed> {
  const rest = total - fixed.reduce((sum, feed) => sum + feed.amount, 0)
  if (!(rest > 0)) return { kind: 'cannot', reason: 'no-mixture' }
  const required = (total * target - fixed.reduce((sum, feed) => sum + feed.amount * feed.value, 0)) / rest
  const square = pearsonSquare(required, pair.first, pair.second)
  if (square.kind === 'cannot') return square
  return {
    kind: 'mix',
    requiredConcentrationOfRest: required,
    amountFirst: rest * square.fractionFirst,
    amountSecond: rest * square.fractionSecond,
  }
}

type Three = readonly [number, number, number]
const determinant = (a: Three, b: Three, c: Three): number =>
  a[0] * (b[1] * c[2] - b[2] * c[1]) - a[1] * (b[0] * c[2] - b[2] * c[0]) + a[2] * (b[0] * c[1] - b[1] * c[0])

/** A feed's contents of the two nutrients of a double square. */
export type PearsonPair = readonly [number, number]
export type PearsonDouble = { readonly kind: 'mix'; readonly fractions: Three }

/** Three feeds to two targets: the fractions that sum to one and meet both (Cramer's rule). Cannot when one would be negative. */
export function pearsonDouble(
  [targetP, targetQ]: PearsonPair,
  [[p1, q1], [p2, q2], [p3, q3]]: readonly [PearsonPair, PearsonPair, PearsonPair],
): PearsonOutcome<PearsonDouble> {
  const all = determinant([1, 1, 1], [p1, p2, p3], [q1, q2, q3])
  if (all === 0) return { kind: 'cannot', reason: 'no-mixture' }
  const fractions: Three = [
    determinant([1, 1, 1], [targetP, p2, p3], [targetQ, q2, q3]) / all,
    determinant([1, 1, 1], [p1, targetP, p3], [q1, targetQ, q3]) / all,
    determinant([1, 1, 1], [p1, p2, targetP], [q1, q2, targetQ]) / all,
  ]
  return fractions.every((fraction) => fraction >= 0) ? { kind: 'mix', fractions } : { kind: 'cannot', reason: 'target-outside' }
}

/** Shares of a batch as amounts: each share times the batch. */
export const scaleShares = (shares: Readonly<Record<string, number>>, batch: number): Record<string, number> =>
  Object.fromEntries(Object.entries(shares).map(([id, share]) => [id, share * batch]))
