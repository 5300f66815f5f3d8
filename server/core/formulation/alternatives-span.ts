import type { LinearSolver } from './linear-program.js'
import type { Member } from './alternatives-mix.js'
import { programOf, type NamedLimits } from './program.js'

/** From the least to the most that there can be of an ingredient within some limits. */
export type Span = { readonly member: Member; readonly least: number; readonly most: number }

/** Room for a solver's tolerance, as a share of the batch. */
export const HAIR = 1e-7

/** By two linear solves, a hair wide of them; from nothing to the whole batch where they do not end. */
export function spanOf(member: Member, limits: NamedLimits, batch: number, solver: LinearSolver): Span {
  const extreme = (sign: 1 | -1, otherwise: number): number => {
    const costs = limits.costs.map((_, i) => (member.indices.includes(i) ? sign : 0))
    const outcome = solver.solve(programOf({ ...limits, costs }))
    return outcome.kind === 'optimal' ? sign * outcome.objective : otherwise
  }
  const hair = HAIR * batch
  return { member, least: Math.max(0, extreme(1, 0) - hair), most: Math.min(batch, extreme(-1, batch) + hair) }
}
