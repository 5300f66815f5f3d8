import { deviationOf, type CertainRow } from './certainty-rows.js'
import type { LinearProgram } from './linear-program.js'
import { factorizeSquare, solveRefined } from './linear-system.js'
import { largestOf } from './optimality.js'
import { activityOf, type NamedRow } from './program.js'

/** From a vertex of cuts nearby a handful of steps are enough, or none are. */
const MOST_STEPS = 12
/** A step that moves no amount by more than this share of the largest ends the search. */
const STILL = 1e-13
/** Prices below this share of the dearest cost pull on nothing. */
const UNHEARD = 1e-9

/** A relaxation's answer: its rows are those of the limits, then cuts. */
export type Vertex = {
  readonly lp: LinearProgram
  readonly cuts: readonly NamedRow[]
  readonly x: readonly number[]
  readonly rowDuals: readonly number[]
}

/** A limit met with equality, as a function of the amounts that can move: value, slope and, where it bends, what its deviation is made of. */
type Met = {
  readonly dense: ArrayLike<number>
  readonly limit: number
  readonly price: number
  /** What divides it, so that its largest slope is one. */
  readonly size: number
  readonly certain: CertainRow | null
}

const denseOf = (columns: readonly number[], coefficients: readonly number[], size: number): Float64Array => {
  const dense = new Float64Array(size)
  for (const [k, column] of columns.entries()) dense[column] = coefficients[k] ?? Number.NaN
  return dense
}

function metBy({ lp, cuts, rowDuals }: Vertex, certain: readonly CertainRow[]): Met[] {
  const dearest = Math.max(1e-12, largestOf(lp.variables.map(({ cost }) => cost)))
  const base = lp.rows.length - cuts.length
  const straight = lp.rows.slice(0, base).flatMap(({ lower, upper, columns, coefficients }, i): Met[] => {
    const price = rowDuals[i] ?? 0
    const size = largestOf(coefficients) || 1
    const limit = lower === upper ? lower : Math.abs(price) * size <= UNHEARD * dearest ? null : price > 0 ? lower : upper
    return limit === null ? [] : [{ dense: denseOf(columns, coefficients, lp.variables.length), limit, price, size, certain: null }]
  })
  const bent = certain.flatMap((row): Met[] => {
    let price = 0
    for (const [k, cut] of cuts.entries())
      if (cut.id === row.id && (cut.lower !== null) === (row.side === 'min')) price += rowDuals[base + k] ?? 0
    const size = largestOf(row.base.dense) || 1
    const limit = row.side === 'min' ? row.base.lower : row.base.upper
    return limit === null || Math.abs(price) * size <= UNHEARD * dearest
      ? []
      : [{ dense: row.base.dense, limit, price, size, certain: row }]
  })
  return [...straight, ...bent]
}

type Now = { readonly miss: number; readonly slope: ArrayLike<number>; readonly sd: number; readonly gradient: ArrayLike<number> }

/** What a met limit is at some amounts: how far above its value, its slope, and the deviation and its gradient where it bends. */
function at({ dense, limit, certain }: Met, x: readonly number[]): Now {
  const miss = activityOf(dense, x).value - limit
  if (!certain) return { miss, slope: dense, sd: 0, gradient: [] }
  const { sd, gradient } = deviationOf(certain.scatter, x)
  const sign = certain.side === 'min' ? -certain.z : certain.z
  return { miss: miss + sign * sd, slope: gradient.map((value, j) => (dense[j] ?? 0) + sign * value), sd, gradient }
}

/** Adds weight x (how the gradient of a deviation turns with the amounts of the free columns) to the matrix. */
function addBend(
  matrix: Float64Array,
  size: number,
  free: readonly number[],
  { scatter }: CertainRow,
  { sd, gradient }: Now,
  weight: number,
): void {
  const place = new Map(free.map((j, a) => [j, a]))
  const by = weight / sd
  const outer = (at: readonly number[], values: ArrayLike<number>, scale: number): void => {
    for (const [k, j] of at.entries()) {
      const row = place.get(j)
      if (row === undefined) continue
      for (const [l, other] of at.entries()) {
        const column = place.get(other)
        if (column === undefined) continue
        const cell = row * size + column
        matrix[cell] = (matrix[cell] ?? 0) + scale * (values[k] ?? 0) * (values[l] ?? 0)
      }
    }
  }
  for (const [a, j] of free.entries()) matrix[a * size + a] = (matrix[a * size + a] ?? 0) + by * (scatter.own[j] ?? 0) ** 2
  for (const { at, values } of scatter.shared) outer(at, values, by)
  outer(
    free,
    free.map((j) => gradient[j] ?? 0),
    -by,
  )
}

/**
 * The mix at which exactly the limits that a vertex pays for are met and no amount that the vertex works out could better be another: Newton's
 * method on those equations (Karush 1939, Kuhn and Tucker 1951), of which there are some thirty. A guess like any other: whoever uses it cuts
 * there and lets the linear solver prove it. Null where the steps do not end, as when the vertex rests on other lots than the answer does.
 */
export function polished(vertex: Vertex, certain: readonly CertainRow[]): number[] | null {
  const { lp } = vertex
  const met = metBy(vertex, certain)
  if (!met.some((one) => one.certain)) return null
  const x = [...vertex.x]
  const free = lp.variables.flatMap(({ lower, upper }, j) => (x[j] === lower || x[j] === upper ? [] : [j]))
  const prices = met.map(({ price, size }) => price * size)
  const size = free.length + met.length
  for (let step = 0; step < MOST_STEPS; step += 1) {
    const now = met.map((one) => at(one, x))
    const matrix = new Float64Array(size * size)
    const right = new Float64Array(size)
    for (const [a, j] of free.entries()) right[a] = -(lp.variables[j]?.cost ?? Number.NaN)
    for (const [i, one] of now.entries()) {
      const { slope, miss, sd } = one
      const { certain: row, size: unit } = met[i] ?? { certain: null, size: 1 }
      const price = (prices[i] ?? 0) / unit
      const place = free.length + i
      right[place] = -miss / unit
      for (const [a, j] of free.entries()) {
        const own = slope[j] ?? 0
        right[a] = (right[a] ?? 0) + price * own
        matrix[a * size + place] = -own / unit
        matrix[place * size + a] = own / unit
      }
      if (row && sd > 0) addBend(matrix, size, free, row, one, -price * (row.side === 'min' ? -row.z : row.z))
    }
    const factored = factorizeSquare(matrix, size)
    if (!factored) return null
    const change = solveRefined(matrix, factored, right)
    let moved = 0
    for (const [a, j] of free.entries()) {
      x[j] = (x[j] ?? 0) + (change[a] ?? Number.NaN)
      moved = Math.max(moved, Math.abs(change[a] ?? Number.NaN))
    }
    for (const i of met.keys()) prices[i] = (prices[i] ?? 0) + (change[free.length + i] ?? Number.NaN)
    const most = largestOf(x)
    if (!Number.isFinite(most) || !Number.isFinite(moved)) return null
    if (moved <= STILL * most) return lp.variables.every(({ lower, upper }, j) => inside(x[j] ?? Number.NaN, lower, upper, most)) ? x : null
  }
  return null
}

const inside = (value: number, lower: number | null, upper: number | null, most: number): boolean =>
  (lower === null || value >= lower - STILL * most) && (upper === null || value <= upper + STILL * most)
