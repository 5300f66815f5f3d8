import { proveClass } from './certificate.js'
import { integerProgramOf, type MostOf } from './integer-program.js'
import { upperBoundsOf } from './integer-bounds.js'
import type { LinearSolver, SearchLimits, Solver } from './linear-program.js'
import { programOf, type NamedLimits } from './program.js'

/** Which limits stay: tried for leaving out in this order, so the ones people set (nutrients, batch, choices) are left to explain with. */
const LEAVING_ORDER = [
  'ingredient:',
  'change:',
  'group:',
  'linear:',
  'ratio:',
  'nutrient:',
  'total:',
  'stock:',
  'batch',
  'integer:',
  'increment:',
  'minIfUsed:',
  'logic:',
] as const
const leavingRank = (id: string): number => LEAVING_ORDER.findIndex((prefix) => id.startsWith(prefix))

/** The limits of those ids alone. */
export const keeping = (limits: NamedLimits, kept: ReadonlySet<string>): NamedLimits => ({
  ...limits,
  rows: limits.rows.filter((row) => kept.has(row.id)),
  bounds: limits.bounds.filter((bound) => kept.has(bound.id)),
  choices: limits.choices?.filter((choice) => kept.has(choice.id)),
})

/** Each once, also where several rows state one limit. */
export const limitIds = (limits: NamedLimits): readonly string[] => [
  ...new Set([
    ...limits.rows.map((row) => row.id),
    ...limits.bounds.map((bound) => bound.id),
    ...(limits.choices ?? []).map((choice) => choice.id),
  ]),
]

export type Held = 'feasible' | 'infeasible' | 'unknown'

/**
 * An irreducible set by a deletion filter (Chinneck and Dravnieks 1991, from memory): a limit is left out for good when the rest still
 * conflicts. Then checked: infeasible together, feasible without any one; null where the solver does not confirm that.
 */
export function irreducible(limits: NamedLimits, held: (limits: NamedLimits) => Held): readonly string[] | null {
  const ids = limitIds(limits)
  const holds = (kept: Iterable<string>) => held(keeping(limits, new Set(kept)))
  const kept = new Set(ids)
  for (const id of [...ids].sort((a, b) => leavingRank(a) - leavingRank(b))) {
    kept.delete(id)
    if (holds(kept) !== 'infeasible') kept.add(id)
  }
  const conflict = ids.filter((id) => kept.has(id))
  const without = (id: string) => conflict.filter((other) => other !== id)
  return holds(conflict) === 'infeasible' && conflict.every((id) => holds(without(id)) === 'feasible') ? conflict : null
}

const linearlyHeld = (limits: NamedLimits, solver: LinearSolver): Held => {
  const { kind } = solver.solve(programOf(limits, { cost: false }))
  return kind === 'optimal' ? 'feasible' : kind === 'infeasible' ? 'infeasible' : 'unknown'
}

/** By a point or a combination of rows that was checked: slower, and right where figures lie so far apart that a solver's word is not. */
const certainlyHeld = (limits: NamedLimits, solver: LinearSolver): Held => {
  const { kind } = proveClass(programOf(limits, { cost: false }), solver)
  return kind
}

/**
 * An irreducible set of limits that cannot hold together, whole numbers left aside, confirmed by solves and by a combination of its limits
 * that was checked (Farkas). Null when it is not confirmed.
 */
export function conflictOf(limits: NamedLimits, solver: LinearSolver): readonly string[] | null {
  const linear: NamedLimits = { ...limits, choices: [] }
  const conflict = irreducible(linear, (some) => linearlyHeld(some, solver))
  if (conflict && certainlyHeld(keeping(linear, new Set(conflict)), solver) === 'infeasible') return conflict
  return irreducible(linear, (some) => certainlyHeld(some, solver))
}

/** Left without the limit that bounds it, a chosen amount may be so many times what the whole problem lets it be. */
const FAR = 1000

function integrallyHeld(limits: NamedLimits, mostOf: MostOf, solver: Solver, search: SearchLimits): Held {
  if (linearlyHeld(limits, solver) === 'infeasible') return 'infeasible'
  if (!limits.choices?.length) return linearlyHeld(limits, solver)
  const bounds = upperBoundsOf(limits)
  const program = integerProgramOf(limits, (index) => bounds[index] ?? FAR * mostOf(index), { cost: false })
  const { kind } = solver.solveInteger(program, search)
  return kind === 'solved' ? 'feasible' : kind === 'infeasible' ? 'infeasible' : 'unknown'
}

/** The same with whole numbers and choices, by integer solves; where the linear limits conflict by themselves, a set of those alone. */
export function integerConflictOf(limits: NamedLimits, mostOf: MostOf, solver: Solver, search: SearchLimits): readonly string[] | null {
  if (linearlyHeld(limits, solver) === 'infeasible') return conflictOf(limits, solver)
  return irreducible(limits, (some) => integrallyHeld(some, mostOf, solver, search))
}
