import type { LinearRow, LinearSolver } from './linear-program.js'
import { tangentRows, withTangents, type Tangent } from './parametric-certain.js'
import { entryOf, limitAt, placeOf, withLimit, type LimitPlace } from './parametric-limit.js'
import { feasibleEnds } from './parametric-ends.js'
import type { FormulaProblem } from './problem.js'
import { limitsOf, programOf, type NamedLimits } from './program.js'
import type { Side } from './row-id.js'

/** A limit and the value nearest to it with which a mix exists, both in the limit's own unit. */
export type Relaxation = { readonly rowId: string; readonly side: Side; readonly from: number; readonly to: number }

/** What would make an infeasible mix possible. */
export type Relaxations = {
  /** Each by itself is enough; the smallest share of its own value first. Empty where two or more conflicts stand side by side. */
  readonly single: readonly Relaxation[]
  /** Where no single one is enough: changes that are enough together, the sum of their shares least. Null where none are either. */
  readonly joint: readonly Relaxation[] | null
}

/** Changes below this share of a limit are the solver's rounding. */
const NO_CHANGE = 1e-9

const share = ({ from, to }: Relaxation): number => Math.abs(to - from) / Math.max(Math.abs(from), 1e-9)

function nearest(problem: FormulaProblem, rowId: string, place: LimitPlace, solver: LinearSolver): Relaxation | null {
  const ends = feasibleEnds(problem, rowId, place, solver)
  if (ends.kind !== 'ends') return null
  const from = limitAt(problem, place)
  // a minimum can only be lowered, a maximum only raised; a fixed value, and a batch, may go either way
  const reachable = [
    ...(place.side === 'min' || (ends.to !== null && ends.to < from) ? [ends.to] : []),
    ...(place.side === 'max' || (ends.from !== null && ends.from > from) ? [ends.from] : []),
  ].filter((end) => end !== null)
  const to = reachable.sort((a, b) => Math.abs(a - from) - Math.abs(b - from))[0]
  // a batch of nothing keeps every limit and is no mix
  return to === undefined || (place.kind === 'batch' && to <= NO_CHANGE * from) ? null : { rowId, side: place.side, from, to }
}

/**
 * The least change of one limit alone that makes an infeasible problem feasible: that limit freed and optimised. Null where no value of it
 * is enough by itself, or the problem has no such limit.
 */
export function leastRelaxation(problem: FormulaProblem, rowId: string, solver: LinearSolver): Relaxation | null {
  const sides: readonly (Side | undefined)[] = rowId.startsWith('linear:') ? ['min', 'max'] : [undefined]
  const places = sides.flatMap((side) => placeOf(problem, rowId, side) ?? [])
  const found = places.flatMap((place) => nearest(problem, rowId, place, solver) ?? [])
  return found.sort((a, b) => share(a) - share(b))[0] ?? null
}

/** One limit in the joint program: how much of its row's right-hand side a whole change of it would be. */
type Elastic = { readonly rowId: string; readonly place: LimitPlace; readonly worth: number }

function elasticOf(problem: FormulaProblem, limits: NamedLimits, rowId: string): Elastic[] {
  const sides: readonly (Side | undefined)[] = rowId.startsWith('linear:') ? ['min', 'max'] : [undefined]
  const mass = problem.batch?.size ?? 1
  return sides
    .flatMap((side) => placeOf(problem, rowId, side) ?? [])
    .filter((place, i, all) => all.findIndex((one) => one.side === place.side) === i)
    .map((place) => {
      const entry = entryOf(problem, place)
      // a coefficient is worth what it multiplies, at most: its largest weight over the whole mass
      const perUnit = entry.kind === 'right-hand-side' ? entry.perUnit : Math.max(...entry.weights.map(Math.abs)) * mass
      const largest = Math.max(1e-9, ...(limits.rows.find((row) => row.id === rowId)?.dense ?? [1]).map(Math.abs))
      return { rowId, place, worth: Math.abs(limitAt(problem, place)) * perUnit || largest }
    })
}

/** The limits with a stretch of each elastic one, in shares of the limit, as the only cost. Stretches stand after the amounts, two a limit. */
function elasticProgram(limits: NamedLimits, elastic: readonly Elastic[]) {
  const ids = new Set(elastic.map((one) => one.rowId))
  const rigid = { ...limits, bounds: limits.bounds.filter((bound) => !ids.has(bound.id)) }
  const base = programOf(rigid, { cost: false })
  const count = base.variables.length
  const stretches = elastic.flatMap((_, i) =>
    [0, 1].map((up) => ({ name: `x${count + 2 * i + up}`, cost: 1, lower: 0, upper: null as number | null })),
  )
  const stretched = (row: Omit<LinearRow, 'name'>, id: string): Omit<LinearRow, 'name'> => {
    const own = elastic.flatMap(({ rowId, place, worth }, i) =>
      rowId !== id
        ? []
        : [
            ...(place.side === 'max' ? [] : [{ column: count + 2 * i, by: worth }]),
            ...(place.side === 'min' ? [] : [{ column: count + 2 * i + 1, by: -worth }]),
          ],
    )
    return {
      ...row,
      columns: [...row.columns, ...own.map((one) => one.column)],
      coefficients: [...row.coefficients, ...own.map((one) => one.by)],
    }
  }
  const ofBounds = limits.bounds
    .filter((bound) => ids.has(bound.id))
    .map(({ id, index, side, value }) =>
      stretched({ lower: side === 'min' ? value : null, upper: side === 'max' ? value : null, columns: [index], coefficients: [1] }, id),
    )
  const rows = [...base.rows.map((row, i) => stretched(row, limits.rows[i]?.id ?? '')), ...ofBounds]
  return { variables: [...base.variables, ...stretches], rows: rows.map((row, i) => ({ ...row, name: `r${i}` })) }
}

/**
 * Changes of several limits that make an infeasible problem feasible together, the sum of the shares by which they change being least.
 * Only limits that `mayChange` names are touched, and never the batch. Where ratios or concentrations of a free batch must change, the
 * mix decides how much a change of them is worth, and the sum is near the least, not proven. Null where even that is not enough.
 */
export function jointRelaxation(
  problem: FormulaProblem,
  solver: LinearSolver,
  mayChange: (rowId: string) => boolean = () => true,
): readonly Relaxation[] | null {
  const limits = limitsOf(problem)
  const ids = [...new Set([...limits.rows, ...limits.bounds].map((one) => one.id))].filter((id) => id !== 'batch' && mayChange(id))
  const elastic = ids.flatMap((id) => elasticOf(problem, limits, id))
  const tangents: Tangent[] = []
  const outcome = withTangents(
    tangents,
    () => solver.solve(elasticProgram({ ...limits, rows: [...limits.rows, ...tangentRows(tangents, limits.rows)] }, elastic)),
    (found) =>
      found.kind === 'optimal'
        ? { problem: relaxed(problem, changesOf(problem, elastic, found.x)), x: found.x.slice(0, problem.ingredients.length) }
        : null,
  )
  return outcome.kind === 'optimal' ? changesOf(problem, elastic, outcome.x) : null
}

/** What the stretches of an elastic program come to, limit by limit. */
function changesOf(problem: FormulaProblem, elastic: readonly Elastic[], found: readonly number[]): Relaxation[] {
  const x = found.slice(0, problem.ingredients.length)
  const stretch = found.slice(problem.ingredients.length)
  return elastic.flatMap(({ rowId, place, worth }, i): Relaxation[] => {
    const by = ((stretch[2 * i + 1] ?? 0) - (stretch[2 * i] ?? 0)) * worth
    if (Math.abs(by) <= NO_CHANGE * worth) return []
    const from = limitAt(problem, place)
    const entry = entryOf(problem, place)
    const perUnit =
      entry.kind === 'right-hand-side' ? entry.perUnit : entry.weights.reduce((sum, weight, j) => sum + weight * (x[j] ?? Number.NaN), 0)
    return [{ rowId, side: place.side, from, to: from + by / perUnit }]
  })
}

/** The problem with limits at the values of some relaxations. */
export const relaxed = (problem: FormulaProblem, changes: readonly Relaxation[]): FormulaProblem =>
  changes.reduce((some, { rowId, side, to }) => {
    const place = placeOf(some, rowId, side)
    return place ? withLimit(some, place, to) : some
  }, problem)

/** What would resolve a conflict of limits: each of its limits changed alone as little as is enough, or else several together. */
export function relaxationsOf(
  problem: FormulaProblem,
  conflict: readonly string[],
  solver: LinearSolver,
  mayChange: (rowId: string) => boolean = () => true,
): Relaxations {
  const single = conflict.filter(mayChange).flatMap((rowId) => leastRelaxation(problem, rowId, solver) ?? [])
  if (single.length > 0) return { single: single.sort((a, b) => share(a) - share(b)), joint: null }
  return { single, joint: jointRelaxation(problem, solver, mayChange) }
}
