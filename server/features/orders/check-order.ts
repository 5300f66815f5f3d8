import type { FindingView } from '#contract/findings'
import { FLOCK_TYPES } from '#contract/members'
import { ageOn } from '#core/requirement/stages'
import type { FlockFacts } from '#core/safety/birds'
import type { CheckContext } from '#core/safety/check-lot'
import { checkOrder } from '#core/safety/check-order'
import { formulaFacts } from '#features/formulas/check-version'
import { loadCheckContext } from '#features/lots/lot-safety'
import type { Db, Tx } from '#platform/database/client'
import { plainDate } from '#platform/mill-day'

type Flock = { readonly flockType: string; readonly hatchedOn: Date; readonly laying: boolean }
/** A feed for birds; `on` is the day from which they eat it. */
export type Fed = { readonly flock: Flock; readonly version: Parameters<typeof formulaFacts>[0]; readonly on: string }

/** A flock as the safety checks want it, at its age on a day. */
export const flockFacts = ({ flockType, hatchedOn, laying }: Flock, on: string): FlockFacts => {
  const type = FLOCK_TYPES.find((known) => known === flockType)
  if (type === undefined) throw new Error(`unknown flock type ${flockType}`)
  return { flockType: type, ageWeeks: ageOn(plainDate(hatchedOn), on)?.weeks ?? 0, laying }
}

/** The day from which the birds eat a feed: the day it is due or, where that has gone by, today; they are that much older by then. */
export const eatenFrom = (dueOn: string, today: string): string => (dueOn > today ? dueOn : today)

/** What the safety checks say of giving these birds this feed, worst first. */
export const checkFeeding = ({ flock, version, on }: Fed, context: CheckContext): FindingView[] =>
  checkOrder(formulaFacts(version), flockFacts(flock, on), context)

export const checkOrderOf = async (db: Db | Tx, fed: Fed, now: Date): Promise<FindingView[]> =>
  checkFeeding(fed, await loadCheckContext(db, now))
