import type { LinearSolver } from './linear-program.js'
import { programOf, type NamedLimits } from './program.js'

/** Which limits stay: tried for leaving out in this order, so the ones people set (nutrients, batch) are left to explain with. */
const LEAVING_ORDER = ['ingredient:', 'linear:', 'ratio:', 'nutrient:', 'batch'] as const
const leavingRank = (id: string): number => LEAVING_ORDER.findIndex((prefix) => id.startsWith(prefix))

const keeping = (limits: NamedLimits, kept: ReadonlySet<string>): NamedLimits => ({
  costs: limits.costs,
  rows: limits.rows.filter((row) => kept.has(row.id)),
  bounds: limits.bounds.filter((bound) => kept.has(bound.id)),
})

const infeasibleWith = (limits: NamedLimits, solver: LinearSolver, ids: Iterable<string>): boolean =>
  solver.solve(programOf(keeping(limits, new Set(ids)), { cost: false })).kind === 'infeasible'

/**
 * An irreducible set of limits that cannot hold together, by a deletion filter (Chinneck and Dravnieks 1991, from memory): a limit
 * is left out for good when the rest still conflicts. The set is then checked: infeasible together, feasible without any one of them.
 * Returns null when the solver does not confirm that.
 */
export function conflictOf(limits: NamedLimits, solver: LinearSolver): readonly string[] | null {
  const ids = [...limits.rows.map((row) => row.id), ...limits.bounds.map((bound) => bound.id)]
  const kept = new Set(ids)
  for (const id of [...ids].sort((a, b) => leavingRank(a) - leavingRank(b))) {
    kept.delete(id)
    if (!infeasibleWith(limits, solver, kept)) kept.add(id)
  }
  const conflict = ids.filter((id) => kept.has(id))
  const without = (id: string) => conflict.filter((other) => other !== id)
  const confirmed = infeasibleWith(limits, solver, conflict) && conflict.every((id) => !infeasibleWith(limits, solver, without(id)))
  return confirmed ? conflict : null
}
