const INVERSE_ROOT_TWO_PI = 1 / Math.sqrt(2 * Math.PI)

/** Density of the unit normal. */
export const normalDensity = (z: number): number => INVERSE_ROOT_TWO_PI * Math.exp((-z * z) / 2)

/** Beyond this the series loses digits that the continued fraction keeps. */
const TAIL = 3

/** Half plus the density times z + z^3/3 + z^5/(3 x 5) + ... (Marsaglia 2004, from memory); for |z| up to `TAIL` to about 1e-15. */
function bySeries(z: number): number {
  let term = z
  let sum = z
  for (let odd = 3; Math.abs(term) > 1e-17 * Math.abs(sum); odd += 2) {
    term *= (z * z) / odd
    sum += term
  }
  return 0.5 + normalDensity(z) * sum
}

/** Density over z + 1/(z + 2/(z + 3/(...))), the classical continued fraction of the upper tail (Laplace); for z from `TAIL` up. */
function byFraction(z: number): number {
  let below = z
  for (let k = 100; k >= 1; k -= 1) below = z + k / below
  return normalDensity(z) / below
}

/** The probability that a unit normal is above z; exact to about 1e-15, and relative to its own size in the tail. */
export const upperTail = (z: number): number => (z > TAIL ? byFraction(z) : z < -TAIL ? 1 - byFraction(-z) : 1 - bySeries(z))

/** The probability that a unit normal is below z. */
export const probabilityOf = (z: number): number => upperTail(-z)

/**
 * The z below which a unit normal stays with probability p: the inverse of `probabilityOf`, by bisection to six digits and Newton steps
 * from there. Minus and plus infinity for 0 and 1; NaN outside.
 */
export function zOf(p: number): number {
  if (!(p >= 0 && p <= 1)) return Number.NaN
  if (p === 0) return -Infinity
  if (p === 1) return Infinity
  if (p < 0.5) return -zAbove(p)
  return p === 0.5 ? 0 : zAbove(1 - p)
}

/** z >= 0 with the tail q above it, q up to a half. */
function zAbove(q: number): number {
  let low = 0
  let high = 40
  while (high - low > 1e-6) {
    const middle = (low + high) / 2
    if (upperTail(middle) > q) low = middle
    else high = middle
  }
  let z = (low + high) / 2
  for (let step = 0; step < 2; step += 1) z += (upperTail(z) - q) / normalDensity(z)
  return z
}

/**
 * Unit normal loss: what a unit normal is above u on average, the rest counting as nothing. Raiffa and Schlaifer 1961 tabulate it
 * (L(0) = 0.3989, L(1) = 0.0833, from memory).
 */
export const unitNormalLoss = (u: number): number => normalDensity(u) - u * upperTail(u)
