import { MillError } from '#core/errors'
import type { Actor } from '#platform/actor'

/** The filter that every read of members' things carries: a member sees only their own, staff see all. */
export const ownRows = (actor: Actor): { memberId?: string } => {
  if (actor.role !== 'member') return {}
  // A member's login without a member would otherwise see everybody.
  if (actor.memberId === null) throw new MillError('not-allowed')
  return { memberId: actor.memberId }
}
