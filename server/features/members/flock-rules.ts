import type { FLOCK_TYPES } from '#contract/members'
import { fieldError } from '#core/errors'
import { FIRST_EGG_WEEK } from '#core/requirement/stages'
import { daysBetween } from '#platform/mill-day'

export type FlockType = (typeof FLOCK_TYPES)[number]
type Told = { readonly flockType: FlockType; readonly hatchedOn: string; readonly laying: boolean }

/** Older than any flock that is kept for feed (common practice, no source); a year typed wrongly is caught by it. */
const OLDEST_DAYS = 10 * 365

/** Some birds begin up to four weeks early; feed for layers given before that would harm them (as `stageByAge` counts it). */
const EARLY_WEEKS = 4

export const checkLaying = ({ flockType, hatchedOn, laying }: Told, today: string): void => {
  if (!laying) return
  const firstEggWeek = FIRST_EGG_WEEK[flockType]
  if (firstEggWeek === undefined) throw fieldError('bad-input', 'laying', 'not-layers', 'birds of this kind are not kept for eggs')
  const leastWeeks = firstEggWeek - EARLY_WEEKS
  if (daysBetween(hatchedOn, today) >= leastWeeks * 7) return
  throw fieldError('bad-input', 'laying', 'too-young', `birds of this kind do not lay before ${leastWeeks} weeks of age`, { leastWeeks })
}

/** A hatch date is not ahead and not absurdly far back. */
export const checkHatchDate = (told: Told, today: string): void => {
  const ageDays = daysBetween(told.hatchedOn, today)
  if (ageDays < 0) throw fieldError('bad-input', 'hatchedOn', 'in-the-future', `not after today, ${today}`, { today })
  if (ageDays > OLDEST_DAYS) throw fieldError('bad-input', 'hatchedOn', 'too-long-ago', 'at most ten years ago')
  checkLaying(told, today)
}
