import { floorOf, type NamedLimits, type NamedRow } from './program.js'

type Box = { readonly lower: (number | null)[]; readonly upper: (number | null)[] }

/** The least that a row's other terms can sum to; null where that has no limit. */
function leastOfOthers(row: NamedRow, sign: number, box: Box, but: number): number | null {
  let sum = 0
  for (const [i, coefficient] of row.dense.entries()) {
    const signed = sign * coefficient
    if (i === but || signed === 0) continue
    const at = (signed > 0 ? box.lower : box.upper)[i] ?? null
    if (at === null) return null
    sum += signed * at
  }
  return sum
}

/** `sign x row <= limit` leaves each variable with a positive signed coefficient at most (limit - least of the others) / coefficient. */
function tighten(row: NamedRow, sign: 1 | -1, box: Box): void {
  const side = sign === 1 ? row.upper : row.lower
  if (side === null) return
  for (const [i, coefficient] of row.dense.entries()) {
    if (sign * coefficient <= 0) continue
    const others = leastOfOthers(row, sign, box, i)
    if (others === null) continue
    const most = (sign * side - others) / (sign * coefficient)
    const now = box.upper[i] ?? null
    if (now === null || most < now) box.upper[i] = most
  }
}

/**
 * The most that each amount can be within the limits, from its own bound and from every row whose other terms have a least sum (the batch
 * mass, stock, a nutrient's maximum); null where none is known. Two passes: the second uses what the first found.
 */
export function upperBoundsOf(limits: NamedLimits): readonly (number | null)[] {
  const box: Box = { lower: limits.costs.map((_, i) => floorOf(limits, i)), upper: limits.costs.map(() => null) }
  for (const { index, side, value } of limits.bounds) {
    if (side === 'min') box.lower[index] = Math.max(value, box.lower[index] ?? -Infinity)
    else box.upper[index] = Math.min(value, box.upper[index] ?? Infinity)
  }
  for (let pass = 0; pass < 2; pass += 1)
    for (const row of limits.rows) {
      tighten(row, 1, box)
      tighten(row, -1, box)
    }
  return box.upper.map((upper) => (upper === null ? null : Math.max(0, upper)))
}
