import type { LinearProgram, LinearRow, LinearSolver } from './linear-program.js'
import { interiorGuess } from './certainty-interior.js'
import { certainRowsOf, type CertainRow } from './certainty-rows.js'
import { PROVEN, solveWith, tangentRows, tangentsAt, withTangents, type Tangent } from './parametric-certain.js'
import { hasCertainty } from './certainty-rows.js'
import { entryOf, idAt, limitAt, withLimit, type LimitPlace } from './parametric-limit.js'
import { movingLimit, parameterProgram, type MovingLimits } from './parametric-program.js'
import type { FormulaProblem } from './problem.js'
import { limitsOf, type NamedLimits, type NamedRow } from './program.js'
import type { Side } from './row-id.js'

/** Between which values of a limit a mix exists; null is no end. */
export type Ends = { readonly from: number | null; readonly to: number | null }
export type FeasibleEnds = ({ readonly kind: 'ends' } & Ends) | { readonly kind: 'infeasible' } | { readonly kind: 'failed' }

/** The moving limits with tangents: that of a limit that moves moves with it. */
function withRows(moving: MovingLimits, tangents: readonly Tangent[], rows: readonly NamedRow[]): MovingLimits {
  const rates = new Map(moving.rows.map((row) => [row.id, row.rate] as const))
  const still = tangents.filter(({ id }) => !rates.has(id))
  return {
    ...moving,
    fixed: { ...moving.fixed, rows: [...moving.fixed.rows, ...tangentRows(still, rows)] },
    rows: [...moving.rows, ...tangents.map((one) => ({ ...one, rate: rates.get(one.id) ?? 0 })).filter((one) => rates.has(one.id))],
  }
}

/** A mix near the end of a moving limit, and the limit there: the parameter as one more amount, which only this guess takes as not negative. */
function guessedEnd(problem: FormulaProblem, moving: MovingLimits, cost: 1 | -1): { x: readonly number[]; at: number } | null {
  const rates = new Map(moving.rows.map((row) => [row.id, row.rate] as const))
  const wider = (row: NamedRow): NamedRow => {
    const rate = rates.get(row.id)
    const limit = (side: number | null) => (rate === undefined || side === null ? side : 0)
    return { ...row, lower: limit(row.lower), upper: limit(row.upper), dense: [...row.dense, -(rate ?? 0)] }
  }
  const unit = (index: number) => moving.fixed.costs.map((_, i) => (i === index ? 1 : 0))
  const sides = (side: Side) => ({ lower: side === 'max' ? null : 0, upper: side === 'min' ? null : 0 })
  const guess = interiorGuess(
    {
      costs: [...moving.fixed.costs.map(() => 0), cost],
      rows: [
        ...moving.fixed.rows.map(wider),
        ...moving.rows.map((row) => ({ id: row.id, ...sides(row.side), dense: [...row.dense, -row.rate] })),
        ...moving.bounds.map((bound) => ({ id: bound.id, ...sides(bound.side), dense: [...unit(bound.index), -bound.rate] })),
      ],
      bounds: moving.fixed.bounds,
    },
    certainRowsOf(problem).map((row) => ({
      ...row,
      base: wider(row.base),
      scatter: { own: Float64Array.of(...row.scatter.own, 0), shared: row.scatter.shared },
    })),
  )
  const at = guess?.at(-1)
  return guess && at !== undefined ? { x: guess.slice(0, -1), at } : null
}

/** The least or the most that a moving limit may be, the limit itself being a variable of the program. */
function straightEnds(problem: FormulaProblem, place: LimitPlace, moving: MovingLimits, solver: LinearSolver): FeasibleEnds {
  const tangents: Tangent[] = []
  const end = (cost: 1 | -1): number | null | 'infeasible' | 'failed' => {
    const solve = () => solver.solve(parameterProgram(withRows(moving, tangents, moving.fixed.rows), { lower: null, upper: null, cost }))
    const guess = hasCertainty(problem) ? guessedEnd(problem, moving, cost) : null
    if (guess) tangents.push(...tangentsAt(certainRowsOf(problem), guess.x))
    const proven = guess ? solve() : null
    const last = proven?.kind === 'optimal' ? proven.x.at(-1) : undefined
    if (guess && last !== undefined && Math.abs(last - guess.at) <= PROVEN * Math.max(1, Math.abs(last))) return last
    const outcome = withTangents(tangents, solve, (found) =>
      found.kind === 'optimal' ? { problem: withLimit(problem, place, found.x.at(-1)), x: found.x.slice(0, -1) } : null,
    )
    switch (outcome.kind) {
      case 'optimal':
        return outcome.x.at(-1) ?? 'failed'
      case 'unbounded':
        return null
      default:
        return outcome.kind
    }
  }
  const from = end(1)
  if (from === 'infeasible' || from === 'failed') return { kind: from }
  const to = end(-1)
  // a limit that falls without end tells nothing of the others; that it has no most either tells that no mix keeps them
  return to === 'infeasible' || to === 'failed' ? { kind: to } : { kind: 'ends', from, to }
}

/** A quotient of two sums over the amounts. */
type Quotient = { readonly over: readonly number[]; readonly under: readonly number[] }

/**
 * The largest (`sign` 1) or smallest (-1) quotient over the mixes that the limits allow, as one linear program: every amount is divided by
 * the divisor, which is then 1, and the last variable is one over it (Charnes and Cooper 1962, from memory).
 */
function quotientProgram(limits: NamedLimits, { over, under }: Quotient, sign: 1 | -1): LinearProgram {
  const sides = ({ lower, upper }: { readonly lower: number | null; readonly upper: number | null }) => [
    ...(lower === null ? [] : [{ lower: 0, upper: null, limit: lower }]),
    ...(upper === null ? [] : [{ lower: null, upper: 0, limit: upper }]),
  ]
  const scaled = (dense: readonly number[], lower: number | null, upper: number | null, limit: number, i: number): LinearRow => {
    const coefficients = [...dense, -limit]
    const columns = coefficients.flatMap((value, column) => (value === 0 ? [] : [column]))
    return { name: `r${i}`, lower, upper, columns, coefficients: columns.map((column) => coefficients[column] ?? 0) }
  }
  const unit = (index: number) => over.map((_, i) => (i === index ? 1 : 0))
  const rows = [
    ...limits.rows.flatMap((row) => sides(row).map((side) => ({ ...side, dense: row.dense }))),
    ...limits.bounds.flatMap(({ index, side, value }) =>
      sides({ lower: side === 'min' ? value : null, upper: side === 'max' ? value : null }).map((one) => ({ ...one, dense: unit(index) })),
    ),
    { lower: 1, upper: 1, limit: 0, dense: under },
  ]
  return {
    variables: [...over, 0].map((value, i) => ({ name: `x${i}`, cost: i < over.length ? -sign * value : 0, lower: 0, upper: null })),
    rows: rows.map((row, i) => scaled(row.dense, row.lower, row.upper, row.limit, i)),
  }
}

/** Steps towards the best quotient; each about doubles its digits. */
const MOST_STEPS = 12

/**
 * A mix near the best quotient that keeps the certain limits: the numerator less so many times the divisor is made as large as can be, again
 * and again with the quotient of the mix before (Dinkelbach 1967, from memory). A guess: where the program is to be cut.
 */
function guessedQuotient(limits: NamedLimits, certain: readonly CertainRow[], { over, under }: Quotient, sign: 1 | -1) {
  const sum = (sums: readonly number[], x: readonly number[]) => sums.reduce((total, each, i) => total + each * (x[i] ?? Number.NaN), 0)
  let found = interiorGuess(limits, certain)
  let last = Number.NaN
  for (let step = 0; found && step < MOST_STEPS; step += 1) {
    const quotient = sum(over, found) / sum(under, found)
    if (!Number.isFinite(quotient) || Math.abs(quotient - last) <= 1e-10 * Math.max(1, Math.abs(quotient))) break
    last = quotient
    const next = interiorGuess({ ...limits, costs: over.map((each, i) => -sign * (each - quotient * (under[i] ?? 0))) }, certain)
    if (!next) break
    found = next
  }
  return found
}

/**
 * The best quotient of the mixes of a problem, certainty kept: its tangents are homogeneous, so they are divided as all rows are. With a
 * batch of any size the quotient may be one that mixes only come near to. Null where it has no end.
 */
function bestQuotient(
  problem: FormulaProblem,
  quotient: Quotient,
  sign: 1 | -1,
  solver: LinearSolver,
): number | null | 'infeasible' | 'failed' {
  const limits = limitsOf(problem)
  const certain = certainRowsOf(problem)
  const near = certain.length > 0 ? guessedQuotient(limits, certain, quotient, sign) : null
  const tangents: Tangent[] = near ? tangentsAt(certain, near) : []
  const outcome = withTangents(
    tangents,
    () => solver.solve(quotientProgram({ ...limits, rows: [...limits.rows, ...tangentRows(tangents, limits.rows)] }, quotient, sign)),
    (found) => {
      const share = found.kind === 'optimal' ? (found.x.at(-1) ?? 0) : 0
      return found.kind === 'optimal' && share > 0 ? { problem, x: found.x.slice(0, -1).map((value) => value / share) } : null
    },
  )
  if (outcome.kind === 'unbounded') return null
  return outcome.kind === 'optimal' ? -sign * outcome.objective : outcome.kind
}

/**
 * Whether some mix keeps the limit whatever it is: one without any of the divisor, for which `over` against limit x `under` is `over` against
 * nothing. No program that divides by the divisor can see it. The divisor is zero only where all that brings of it is left out.
 */
function holdsAtAny(problem: FormulaProblem, { over, under }: Quotient, side: Side, solver: LinearSolver): boolean {
  if (under.some((each) => each < 0)) return false
  const limits = limitsOf(problem)
  const row: NamedRow = { id: 'over', lower: side === 'max' ? null : 0, upper: side === 'min' ? null : 0, dense: over }
  const without = under.flatMap((each, index) => (each > 0 ? [{ id: 'under', index, side: 'max' as const, value: 0 }] : []))
  const kept: NamedLimits = {
    ...limits,
    costs: limits.costs.map(() => 0),
    rows: [...limits.rows, row],
    // a floor above zero crosses the zero, and then there is no such mix
    bounds: [...limits.bounds.filter((bound) => bound.side === 'min' || !((under[bound.index] ?? 0) > 0)), ...without],
  }
  return solveWith(problem, kept, solver, []).kind === 'optimal'
}

/** A row `over - limit x under` at limit 0 and at limit 1 gives both sums. */
function quotientEnds(problem: FormulaProblem, place: LimitPlace, under: readonly number[], solver: LinearSolver): FeasibleEnds {
  const others = withLimit(problem, place, undefined)
  const quotient = { over: numeratorOf(problem, place, under), under }
  // divided by the divisor, limits that no mix keeps can look kept by a batch without end
  const limits = limitsOf(others)
  const kept = solveWith(others, { ...limits, costs: limits.costs.map(() => 0) }, solver, [])
  if (kept.kind === 'infeasible') return { kind: 'infeasible' }
  if (holdsAtAny(others, quotient, place.side, solver)) return { kind: 'ends', from: null, to: null }
  const needs = (side: Side) => place.side === side || place.side === 'eq'
  const most = needs('min') ? bestQuotient(others, quotient, 1, solver) : null
  const least = needs('max') ? bestQuotient(others, quotient, -1, solver) : null
  if (most === 'infeasible' || least === 'infeasible') return { kind: 'infeasible' }
  return most === 'failed' || least === 'failed' ? { kind: 'failed' } : { kind: 'ends', from: least, to: most }
}

export function numeratorOf(problem: FormulaProblem, place: LimitPlace, weights: readonly number[]): number[] {
  const value = limitAt(problem, place)
  const id = `${place.kind}:${idAt(problem, place)}:${place.side}`
  const dense = limitsOf(problem).rows.find((row) => row.id === id)?.dense ?? []
  return dense.map((coefficient, i) => coefficient + value * (weights[i] ?? Number.NaN))
}

/** Between which values of one limit, all others as they are, a mix exists: exact ends, found by optimising the limit itself. */
export function feasibleEnds(problem: FormulaProblem, rowId: string, place: LimitPlace, solver: LinearSolver): FeasibleEnds {
  const moving = movingLimit(problem, rowId, place)
  if (moving) return straightEnds(problem, place, moving, solver)
  const entry = entryOf(problem, place)
  return entry.kind === 'coefficient' ? quotientEnds(problem, place, entry.weights, solver) : { kind: 'failed' }
}
