/** Steps of iterative refinement. */
const REFINEMENTS = 2

export type Factored = { readonly size: number; readonly lu: Float64Array; readonly order: Int32Array }

/** LU with partial pivoting; null where the matrix is singular. */
export function factorizeSquare(matrix: Float64Array, size: number): Factored | null {
  const lu = matrix.slice()
  const order = Int32Array.from({ length: size }, (_, i) => i)
  for (let k = 0; k < size; k += 1) {
    let best = k
    for (let i = k + 1; i < size; i += 1) if (Math.abs(lu[i * size + k] ?? 0) > Math.abs(lu[best * size + k] ?? 0)) best = i
    if (Math.abs(lu[best * size + k] ?? 0) < 1e-12) return null
    if (best !== k) {
      for (let j = 0; j < size; j += 1) {
        const kept = lu[k * size + j] ?? 0
        lu[k * size + j] = lu[best * size + j] ?? 0
        lu[best * size + j] = kept
      }
      const kept = order[k] ?? 0
      order[k] = order[best] ?? 0
      order[best] = kept
    }
    for (let i = k + 1; i < size; i += 1) {
      const factor = (lu[i * size + k] ?? 0) / (lu[k * size + k] ?? 1)
      lu[i * size + k] = factor
      if (factor !== 0) for (let j = k + 1; j < size; j += 1) lu[i * size + j] = (lu[i * size + j] ?? 0) - factor * (lu[k * size + j] ?? 0)
    }
  }
  return { size, lu, order }
}

function solve({ size, lu, order }: Factored, right: Float64Array): Float64Array {
  const x = Float64Array.from(order, (place) => right[place] ?? 0)
  for (let i = 0; i < size; i += 1) for (let j = 0; j < i; j += 1) x[i] = (x[i] ?? 0) - (lu[i * size + j] ?? 0) * (x[j] ?? 0)
  for (let i = size - 1; i >= 0; i -= 1) {
    for (let j = i + 1; j < size; j += 1) x[i] = (x[i] ?? 0) - (lu[i * size + j] ?? 0) * (x[j] ?? 0)
    x[i] = (x[i] ?? 0) / (lu[i * size + i] ?? 1)
  }
  return x
}

/** The answer of matrix x = right, refined. */
export function solveRefined(matrix: Float64Array, factored: Factored, right: Float64Array): Float64Array {
  const { size } = factored
  const x = solve(factored, right)
  for (let pass = 0; pass < REFINEMENTS; pass += 1) {
    const rest = right.slice()
    for (let i = 0; i < size; i += 1) for (let j = 0; j < size; j += 1) rest[i] = (rest[i] ?? 0) - (matrix[i * size + j] ?? 0) * (x[j] ?? 0)
    const better = solve(factored, rest)
    for (let i = 0; i < size; i += 1) x[i] = (x[i] ?? 0) + (better[i] ?? 0)
  }
  return x
}

/** Rows and columns exchanged. */
export const transposed = (matrix: Float64Array, size: number): Float64Array =>
  matrix.map((_, k) => matrix[(k % size) * size + Math.floor(k / size)] ?? 0)
