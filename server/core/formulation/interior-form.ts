import type { CertainRow, Scatter } from './certainty-rows.js'
import type { NamedLimits } from './program.js'
import { addTo, dot, sparseOf, type Sparse } from './symmetric-system.js'

/** One side of a limit as `constant + slope x - z deviation(x) >= 0`, scaled so that its largest slope is 1. Bounds are sides too. */
export type Side = {
  readonly constant: number
  readonly slope: Sparse
  readonly z: number
  /** Where it bends: its scatter, and the places of all ingredients. */
  readonly scatter: (Scatter & { readonly places: readonly number[] }) | null
}

export type Form = {
  /** The dearest costs 1. */
  readonly cost: Float64Array
  readonly sides: readonly Side[]
  readonly equal: readonly { readonly slope: Sparse; readonly value: number }[]
  /** Amounts are divided by this, so that they are near 1. */
  readonly unit: number
  readonly start: Float64Array
}

const largest = (values: readonly number[]): number => Math.max(1e-300, ...values.map(Math.abs))

function sideOf(dense: readonly number[], constant: number, sign: 1 | -1, row: CertainRow | null): Side {
  const scale = 1 / largest(dense)
  return {
    constant: constant * scale,
    slope: sparseOf(dense, sign * scale),
    z: (row?.z ?? 0) * scale,
    scatter: row && { places: dense.map((_, i) => i), ...row.scatter },
  }
}

type Parts = { readonly sides: Side[]; readonly equal: { readonly slope: Sparse; readonly value: number }[] }

function addRows({ sides, equal }: Parts, limits: NamedLimits, certain: readonly CertainRow[], unit: number): void {
  const ids = new Set(certain.map((row) => row.id))
  for (const { id, lower, upper, dense } of limits.rows) {
    if (ids.has(id) || dense.every((value) => value === 0)) continue
    if (lower !== null && lower === upper) {
      const scale = 1 / largest(dense)
      equal.push({ slope: sparseOf(dense, scale), value: (lower / unit) * scale })
      continue
    }
    if (lower !== null) sides.push(sideOf(dense, -lower / unit, 1, null))
    if (upper !== null) sides.push(sideOf(dense, upper / unit, -1, null))
  }
  for (const row of certain) {
    const limit = ((row.side === 'min' ? row.base.lower : row.base.upper) ?? 0) / unit
    sides.push(row.side === 'min' ? sideOf(row.base.dense, -limit, 1, row) : sideOf(row.base.dense, limit, -1, row))
  }
}

/** Bounds as sides; an amount that cannot move is an equality. Returns where to start: an even mix within the bounds. */
function addBounds({ sides, equal }: Parts, limits: NamedLimits, unit: number): Float64Array {
  const n = limits.costs.length
  const least = limits.costs.map((_, i) => limits.floors?.[i] ?? 0)
  const most = limits.costs.map(() => Infinity)
  for (const { index, side, value } of limits.bounds) (side === 'min' ? least : most)[index] = value
  return Float64Array.from(limits.costs, (_, i) => {
    const [low, high] = [(least[i] ?? 0) / unit, (most[i] ?? Infinity) / unit]
    const only = (value: number): Sparse => ({ at: [i], values: Float64Array.of(value) })
    if (low === high) equal.push({ slope: only(1), value: low })
    else {
      sides.push({ constant: -low, slope: only(1), z: 0, scatter: null })
      if (high < Infinity) sides.push({ constant: high, slope: only(-1), z: 0, scatter: null })
    }
    return Math.min(Math.max(1 / n, low), Math.max(low, high))
  })
}

/** Limits and certain limits in scaled form, amounts in units of the batch (or of one, where there is none). */
export function interiorForm(limits: NamedLimits, certain: readonly CertainRow[]): Form {
  const batch = limits.rows.find((row) => row.id === 'batch')
  const unit = Math.abs(batch?.lower ?? batch?.upper ?? 1) || 1
  const parts: Parts = { sides: [], equal: [] }
  addRows(parts, limits, certain, unit)
  const start = addBounds(parts, limits, unit)
  const dearest = largest(limits.costs)
  return { cost: Float64Array.from(limits.costs, (cost) => cost / dearest), ...parts, unit, start }
}

export type Measured = { readonly value: number; readonly slope: Sparse; readonly sd: number; readonly gradient: Sparse }
export const NOTHING: Sparse = { at: [], values: new Float64Array(0) }
export const NOWHERE: Measured = { value: Number.NaN, slope: NOTHING, sd: 0, gradient: NOTHING }

/** A side's value and slope at x, and its deviation with gradient where it has one. */
export function measure({ constant, slope, z, scatter }: Side, x: Float64Array): Measured {
  const linear = constant + dot(slope, x)
  if (!scatter) return { value: linear, slope, sd: 0, gradient: NOTHING }
  const gradient = new Float64Array(x.length)
  let variance = 0
  for (let i = 0; i < x.length; i += 1) {
    const own = scatter.own[i] ?? 0
    gradient[i] = own * own * (x[i] ?? 0)
    variance += (own * (x[i] ?? 0)) ** 2
  }
  for (const errors of scatter.shared) {
    const together = dot(errors, x)
    addTo(gradient, errors, together)
    variance += together * together
  }
  const sd = Math.sqrt(variance)
  if (sd === 0) return { value: linear, slope, sd, gradient: NOTHING }
  const at = scatter.places
  const total = gradient.map((value) => (-z * value) / sd)
  addTo(total, slope, 1)
  return { value: linear - z * sd, slope: { at, values: total }, sd, gradient: { at, values: gradient.map((value) => value / sd) } }
}
