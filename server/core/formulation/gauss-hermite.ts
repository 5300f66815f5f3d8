export type Quadrature = readonly { readonly node: number; readonly weight: number }[]

const ROOT_ROOT_TWO_PI = (2 * Math.PI) ** -0.25

/** Orthonormal Hermite functions of orders n and n-1 for the unit normal, by their recurrence. */
function hermite(n: number, x: number): { readonly last: number; readonly before: number } {
  let before = 0
  let last = ROOT_ROOT_TWO_PI
  for (let k = 0; k < n; k += 1) [before, last] = [last, (x * last - Math.sqrt(k) * before) / Math.sqrt(k + 1)]
  return { last, before }
}

/** A root between two places where the polynomial changes its sign. */
function rootBetween(n: number, from: number, to: number): number {
  let [low, high] = [from, to]
  const sign = Math.sign(hermite(n, low).last)
  for (let step = 0; step < 80; step += 1) {
    const middle = (low + high) / 2
    if (Math.sign(hermite(n, middle).last) === sign) low = middle
    else high = middle
  }
  return (low + high) / 2
}

/**
 * Gauss and Hermite's points for the mean of a function of a unit normal: exact for polynomials up to degree 2n - 1 (Abramowitz and Stegun
 * 25.4.46, in the scale of the unit normal). Weights add up to 1; points ascend.
 */
export function gaussHermite(n: number): Quadrature {
  const most = Math.sqrt(4 * n + 2)
  const steps = 40 * n
  const roots: number[] = []
  for (let k = 0; k < steps; k += 1) {
    const [from, to] = [-most + (2 * most * k) / steps, -most + (2 * most * (k + 1)) / steps]
    const [a, b] = [hermite(n, from).last, hermite(n, to).last]
    if (a === 0) roots.push(from)
    else if (a * b < 0) roots.push(rootBetween(n, from, to))
  }
  const weights = roots.map((node) => 1 / (n * hermite(n, node).before ** 2))
  const total = weights.reduce((sum, weight) => sum + weight, 0)
  return roots.map((node, i) => ({ node, weight: (weights[i] ?? 0) / total }))
}
