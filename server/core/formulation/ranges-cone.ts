import type { LinearProgram, LinearRow, LinearVariable } from './linear-program.js'
import { floorOf, type NamedLimits } from './program.js'

/** How far a row may be from its limit, as a share of its terms, and still be at it: as in `formulate`. */
const AT_ROW = 1e-7
const AT_BOUND = 1e-9

/** Which sides of a row or of an amount the mix stands at. */
type Edges = { readonly low: boolean; readonly high: boolean }

/** How the edges of a problem move when its limits move: by row and by amount, none where a limit stays. */
export type Shift = { readonly rows: readonly number[]; readonly low: readonly number[]; readonly high: readonly number[] }

/** The edges that a mix stands at. A small step away from it keeps the limits exactly when it keeps these. */
export type Cone = {
  readonly costs: readonly number[]
  readonly amounts: readonly Edges[]
  readonly rows: readonly { readonly index: number; readonly dense: readonly number[]; readonly edges: Edges }[]
}

/** The edges at which `x` stands within `limits`. */
export function coneAt(limits: NamedLimits, x: readonly number[]): Cone {
  const size = Math.max(1e-9, ...x.map(Math.abs))
  const close = (value: number, limit: number, scale: number) => Math.abs(value - limit) <= scale
  const bound = (index: number, side: 'min' | 'max') => limits.bounds.findLast((one) => one.index === index && one.side === side)?.value
  const amounts = x.map((value, i): Edges => {
    const most = bound(i, 'max')
    const least = bound(i, 'min') ?? floorOf(limits, i)
    return {
      low: least !== null && close(value, least, AT_BOUND * size),
      high: most !== undefined && close(value, most, AT_BOUND * size),
    }
  })
  const rows = limits.rows.flatMap((row, index) => {
    const terms = row.dense.map((coefficient, i) => coefficient * (x[i] ?? Number.NaN))
    const value = terms.reduce((sum, term) => sum + term, 0)
    const scale = AT_ROW * terms.reduce((sum, term) => sum + Math.abs(term), 1e-9)
    const edges = {
      low: row.lower !== null && close(value, row.lower, scale),
      high: row.upper !== null && close(value, row.upper, scale),
    }
    return edges.low || edges.high ? [{ index, dense: row.dense, edges }] : []
  })
  return { costs: limits.costs, amounts, rows }
}

const sparse = (dense: readonly number[], name: string, lower: number | null, upper: number | null): LinearRow => {
  const columns = dense.flatMap((value, i) => (value === 0 ? [] : [i]))
  return { name, lower, upper, columns, coefficients: columns.map((i) => dense[i] ?? 0) }
}

/**
 * The cheapest step away from a mix while its edges move by `shift` (null: they stay): its cost is the one-sided derivative of the least
 * cost, whatever basis the solver ended in.
 */
export function stepProgram(cone: Cone, shift: Shift | null): LinearProgram {
  const variables = cone.costs.map((cost, i): LinearVariable => {
    const edges = cone.amounts[i]
    return { name: `x${i}`, cost, lower: edges?.low ? (shift?.low[i] ?? 0) : null, upper: edges?.high ? (shift?.high[i] ?? 0) : null }
  })
  const rows = cone.rows.map(({ index, dense, edges }, i) => {
    const by = shift?.rows[index] ?? 0
    return sparse(dense, `r${i}`, edges.low ? by : null, edges.high ? by : null)
  })
  return { variables, rows }
}
