/** A vector by its places that are not zero. */
export type Sparse = { readonly at: readonly number[]; readonly values: Float64Array }

export function sparseOf(dense: ArrayLike<number>, scale = 1): Sparse {
  const at: number[] = []
  for (let i = 0; i < dense.length; i += 1) if (dense[i] !== 0) at.push(i)
  return { at, values: Float64Array.from(at, (i) => (dense[i] ?? Number.NaN) * scale) }
}

export function dot({ at, values }: Sparse, x: ArrayLike<number>): number {
  let sum = 0
  for (let k = 0; k < at.length; k += 1) sum += (values[k] ?? 0) * (x[at[k] ?? 0] ?? 0)
  return sum
}

export function addTo(target: Float64Array, { at, values }: Sparse, weight: number): void {
  for (let k = 0; k < at.length; k += 1) {
    const i = at[k] ?? 0
    target[i] = (target[i] ?? 0) + weight * (values[k] ?? 0)
  }
}

/** A symmetric matrix, row by row; only the lower half is read. */
export type Matrix = { readonly size: number; readonly cells: Float64Array }

export const zeroMatrix = (size: number): Matrix => ({ size, cells: new Float64Array(size * size) })

/** Adds weight x a a' to the lower half (places ascending). */
export function addOuter({ size, cells }: Matrix, { at, values }: Sparse, weight: number): void {
  for (let k = 0; k < at.length; k += 1) {
    const scaled = weight * (values[k] ?? 0)
    const row = (at[k] ?? 0) * size
    for (let l = 0; l <= k; l += 1) {
      const cell = row + (at[l] ?? 0)
      cells[cell] = (cells[cell] ?? 0) + scaled * (values[l] ?? 0)
    }
  }
}

/** Cholesky's factor in place; a pivot that rounding made nothing is taken as very large, which holds its variable still. */
export function factorize({ size, cells }: Matrix): void {
  for (let j = 0; j < size; j += 1) {
    const rowJ = j * size
    const before = cells[rowJ + j] ?? 0
    let pivot = before
    for (let k = 0; k < j; k += 1) pivot -= (cells[rowJ + k] ?? 0) ** 2
    const root = pivot > 1e-15 * before && pivot > 0 ? Math.sqrt(pivot) : 1e64
    cells[rowJ + j] = root
    for (let i = j + 1; i < size; i += 1) {
      const rowI = i * size
      let sum = cells[rowI + j] ?? 0
      for (let k = 0; k < j; k += 1) sum -= (cells[rowI + k] ?? 0) * (cells[rowJ + k] ?? 0)
      cells[rowI + j] = sum / root
    }
  }
}

/** Solves with the factor. */
export function solveFactored({ size, cells }: Matrix, right: Float64Array): Float64Array {
  const x = Float64Array.from(right)
  for (let i = 0; i < size; i += 1) {
    let sum = x[i] ?? 0
    for (let k = 0; k < i; k += 1) sum -= (cells[i * size + k] ?? 0) * (x[k] ?? 0)
    x[i] = sum / (cells[i * size + i] ?? 1)
  }
  for (let i = size - 1; i >= 0; i -= 1) {
    let sum = x[i] ?? 0
    for (let k = i + 1; k < size; k += 1) sum -= (cells[k * size + i] ?? 0) * (x[k] ?? 0)
    x[i] = sum / (cells[i * size + i] ?? 1)
  }
  return x
}
