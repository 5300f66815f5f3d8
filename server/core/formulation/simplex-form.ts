import type { LinearProgram } from './linear-program.js'

/**
 * A linear program as dense figures: `rows` x `columns` coefficients by row, and bounds of the columns followed by those of the rows, infinite
 * where there is none. Scaled by powers of two, which rounds nothing: a column's own unit is `unit` of the scaled one.
 */
export type DenseForm = {
  readonly rows: number
  readonly columns: number
  readonly cells: Float64Array
  readonly cost: Float64Array
  readonly lower: Float64Array
  readonly upper: Float64Array
  /** What one scaled unit of a column, or of a row's activity, is in its own. */
  readonly unit: Float64Array
  /** What one scaled unit of the objective is. */
  readonly price: number
}

/** Two passes bring the contents of feeds (kcal beside hundredths of a per cent) within a few powers of two of each other. */
const PASSES = 2

/** What the exponent of a number is counted from in its bits; zero has none. */
const EXPONENT_OF_ONE = 1023
/** Exponents of two from the bits of each number, which needs no logarithm of each; zero stays lower than any other. */
function exponentsOf(values: Float64Array): Int32Array {
  const view = new DataView(values.buffer, values.byteOffset)
  const exponents = new Int32Array(values.length)
  for (let k = 0; k < values.length; k += 1) exponents[k] = ((view.getUint32(8 * k + HIGH_WORD, LITTLE) >>> 20) & 0x7ff) - EXPONENT_OF_ONE
  return exponents
}
const LITTLE = new Uint8Array(Uint16Array.of(1).buffer)[0] === 1
const HIGH_WORD = LITTLE ? 4 : 0
const OF_ZERO = -EXPONENT_OF_ONE

type Sums = { readonly sums: Float64Array; readonly counts: Float64Array }
const add = ({ sums, counts }: Sums, line: number, exponent: number): void => {
  sums[line] = (sums[line] ?? 0) + exponent
  counts[line] = (counts[line] ?? 0) + 1
}
/** Minus the rounded mean exponent of each line. */
const balanced = ({ sums, counts }: Sums): Float64Array => sums.map((sum, line) => -Math.round(sum / Math.max(1, counts[line] ?? 0)))

/** By how many powers of two each row and each column is to be multiplied: in turn by what the mean of its figures asks, with what those across have got. */
function scales(cells: Float64Array, rows: number, columns: number): { readonly byRow: Float64Array; readonly byColumn: Float64Array } {
  const exponents = exponentsOf(cells)
  let byRow: Float64Array = new Float64Array(rows)
  let byColumn: Float64Array = new Float64Array(columns)
  for (let pass = 0; pass < PASSES; pass += 1) {
    const ofRows: Sums = { sums: new Float64Array(rows), counts: new Float64Array(rows) }
    for (let i = 0; i < rows; i += 1)
      for (let j = 0; j < columns; j += 1) {
        const exponent = exponents[i * columns + j] ?? OF_ZERO
        if (exponent !== OF_ZERO) add(ofRows, i, exponent + (byColumn[j] ?? 0))
      }
    byRow = balanced(ofRows)
    const ofColumns: Sums = { sums: new Float64Array(columns), counts: new Float64Array(columns) }
    for (let i = 0; i < rows; i += 1)
      for (let j = 0; j < columns; j += 1) {
        const exponent = exponents[i * columns + j] ?? OF_ZERO
        if (exponent !== OF_ZERO) add(ofColumns, j, exponent + (byRow[i] ?? 0))
      }
    byColumn = balanced(ofColumns)
  }
  return { byRow, byColumn }
}

/** The power of two nearest the geometric mean of what is neither zero nor infinite. */
function typical(...lists: readonly Float64Array[]): number {
  let sum = 0
  let count = 0
  for (const values of lists)
    for (const value of values)
      if (value !== 0 && Number.isFinite(value)) {
        sum += Math.log2(Math.abs(value))
        count += 1
      }
  return 2 ** Math.round(sum / Math.max(1, count))
}

function cellsOf({ variables, rows }: LinearProgram): Float64Array {
  const columns = variables.length
  const cells = new Float64Array(rows.length * columns)
  for (const [i, row] of rows.entries())
    for (let k = 0; k < row.columns.length; k += 1) cells[i * columns + (row.columns[k] ?? 0)] = row.coefficients[k] ?? Number.NaN
  return cells
}

/** Rows and columns divided by their geometric mean in turn (Fulkerson and Wolfe 1962, from memory), limits and costs brought near one. */
export function denseForm(lp: LinearProgram): DenseForm {
  const [rows, columns] = [lp.rows.length, lp.variables.length]
  const cells = cellsOf(lp)
  const { byRow, byColumn } = scales(cells, rows, columns)
  const rowScale = byRow.map((exponent) => 2 ** exponent)
  const unit = new Float64Array(columns + rows)
  for (let j = 0; j < columns; j += 1) unit[j] = 2 ** (byColumn[j] ?? 0)
  for (let i = 0; i < rows; i += 1) unit[columns + i] = 1 / (rowScale[i] ?? 1)
  for (let i = 0; i < rows; i += 1)
    for (let j = 0; j < columns; j += 1) cells[i * columns + j] = (cells[i * columns + j] ?? 0) * (rowScale[i] ?? 1) * (unit[j] ?? 1)
  const all = [...lp.variables, ...lp.rows]
  const lower = Float64Array.from(all, (one, k) => (one.lower ?? Number.NEGATIVE_INFINITY) / (unit[k] ?? 1))
  const upper = Float64Array.from(all, (one, k) => (one.upper ?? Number.POSITIVE_INFINITY) / (unit[k] ?? 1))
  const size = typical(lower, upper)
  const cost = Float64Array.from(lp.variables, (variable, j) => variable.cost * (unit[j] ?? 1))
  const price = typical(cost)
  return {
    rows,
    columns,
    cells,
    cost: cost.map((value) => value / price),
    lower: lower.map((value) => value / size),
    upper: upper.map((value) => value / size),
    unit: unit.map((value) => value * size),
    price: price * size,
  }
}
