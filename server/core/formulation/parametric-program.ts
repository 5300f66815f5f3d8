import type { LinearProgram, LinearRow } from './linear-program.js'
import { entryOf, withLimit, type LimitPlace } from './parametric-limit.js'
import type { FormulaProblem } from './problem.js'
import { limitsOf, programOf, type NamedBound, type NamedLimits, type NamedRow } from './program.js'
import type { Side } from './row-id.js'

/** A row whose right-hand side is `rate` x the parameter. */
export type MovingRow = { readonly id: string; readonly side: Side; readonly rate: number; readonly dense: readonly number[] }
/** A bound of one amount that is `rate` x the parameter. */
export type MovingBound = { readonly id: string; readonly index: number; readonly side: Side; readonly rate: number }

/** The limits of a problem of which some move with one parameter, a limit in its own unit. */
export type MovingLimits = { readonly fixed: NamedLimits; readonly rows: readonly MovingRow[]; readonly bounds: readonly MovingBound[] }

const sideOf = ({ lower, upper }: NamedRow): Side => (lower === null ? 'max' : upper === null ? 'min' : 'eq')

/** A fixed batch carries the concentrations and fractions with it: their mass grows as it does. */
function movingBatch(problem: FormulaProblem): MovingLimits {
  const limits = limitsOf(problem)
  const size = problem.batch?.size ?? Number.NaN
  const fixedSize = problem.batch?.relation === '='
  const byMass = new Set((problem.nutrients ?? []).filter((one) => one.basis === 'concentration').map((one) => one.id))
  const boundsRide = fixedSize && problem.inclusionBasis === 'fraction'
  const rides = ({ id }: NamedRow) =>
    id === 'batch' ||
    (fixedSize && id.startsWith('nutrient:') && byMass.has(id.slice('nutrient:'.length, id.lastIndexOf(':')))) ||
    (boundsRide && (id.startsWith('group:') || id.startsWith('change:')))
  return {
    fixed: { ...limits, rows: limits.rows.filter((row) => !rides(row)), bounds: boundsRide ? [] : limits.bounds },
    rows: limits.rows
      .filter(rides)
      .map((row) => ({ id: row.id, side: sideOf(row), rate: (row.lower ?? row.upper ?? Number.NaN) / size, dense: row.dense })),
    bounds: boundsRide ? limits.bounds.map((bound) => ({ ...bound, rate: bound.value / size })) : [],
  }
}

/**
 * The problem's limits with the one at `place` as a parameter; null where that limit is a coefficient of its row, so that nothing
 * moves in a straight line.
 */
export function movingLimit(problem: FormulaProblem, rowId: string, place: LimitPlace): MovingLimits | null {
  if (place.kind === 'batch') return movingBatch(problem)
  const entry = entryOf(problem, place)
  if (entry.kind === 'coefficient') return null
  const fixed = limitsOf(withLimit(problem, place, undefined))
  if (place.kind === 'ingredient')
    return { fixed, rows: [], bounds: [{ id: rowId, index: place.index, side: place.side, rate: entry.perUnit }] }
  const row = limitsOf(problem).rows.find((one) => one.id === rowId)
  return row ? { fixed, rows: [{ id: rowId, side: place.side, rate: entry.perUnit, dense: row.dense }], bounds: [] } : null
}

const rowAt = ({ id, side, rate, dense }: MovingRow, at: number): NamedRow => ({
  id,
  lower: side === 'max' ? null : rate * at,
  upper: side === 'min' ? null : rate * at,
  dense,
})

/** Amounts are never negative, however low their minimum moves. */
const boundsAt = ({ id, index, side, rate }: MovingBound, at: number): NamedBound[] => [
  ...(side === 'max' ? [] : [{ id, index, side: 'min' as const, value: Math.max(0, rate * at) }]),
  ...(side === 'min' ? [] : [{ id, index, side: 'max' as const, value: rate * at }]),
]

/** The limits at one value of the parameter, the fixed rows first. */
export const limitsWith = (moving: MovingLimits, at: number): NamedLimits => ({
  costs: moving.fixed.costs,
  rows: [...moving.fixed.rows, ...moving.rows.map((row) => rowAt(row, at))],
  bounds: [...moving.fixed.bounds, ...moving.bounds.flatMap((bound) => boundsAt(bound, at))],
})

const parameterRow = (dense: readonly number[], side: Side, rate: number, count: number): Omit<LinearRow, 'name'> => {
  const columns = dense.flatMap((value, i) => (value === 0 ? [] : [i]))
  return {
    lower: side === 'max' ? null : 0,
    upper: side === 'min' ? null : 0,
    columns: [...columns, count],
    coefficients: [...columns.map((i) => dense[i] ?? 0), -rate],
  }
}

/** The parameter as a variable: between which values, and whether the program seeks the least (1) or the most (-1) of it. */
export type Parameter = { readonly lower: number | null; readonly upper: number | null; readonly cost: 1 | -1 }

/**
 * The program whose last variable is the parameter itself and whose only cost is that. Rows: the fixed ones, the moving ones, then a row
 * for each moving bound.
 */
export function parameterProgram(moving: MovingLimits, parameter: Parameter): LinearProgram {
  const base = programOf(moving.fixed, { cost: false })
  const count = base.variables.length
  const unit = (index: number) => moving.fixed.costs.map((_, i) => (i === index ? 1 : 0))
  const rows = [
    ...moving.rows.map((row) => parameterRow(row.dense, row.side, row.rate, count)),
    ...moving.bounds.map((bound) => parameterRow(unit(bound.index), bound.side, bound.rate, count)),
  ]
  return {
    variables: [...base.variables, { name: `x${count}`, ...parameter }],
    rows: [...base.rows, ...rows.map((row, i) => ({ ...row, name: `r${base.rows.length + i}` }))],
  }
}
