import { fieldError } from '#core/errors'

/** A clock that is a few minutes ahead is no lie. */
const AHEAD_MS = 5 * 60 * 1000
/** A sheet of a power cut is entered within days; a moment further back than a month is a year or month typed wrongly. Common practice, no source. */
const MOST_DAYS_BACK = 31
/** What stands on a numbered sheet happened, however late the sheet is found; its printing bounds it besides. As long as for a delivery. */
export const SHEET_DAYS_BACK = 730
const DAY_MS = 24 * 60 * 60 * 1000

/** When something happened, if it is entered later; never after now, and not so long ago that it must be a slip. */
export const happenedAt = (path: string, told: string | null, now: Date, mostDays = MOST_DAYS_BACK): Date => {
  if (told === null) return now
  const at = new Date(told)
  if (at.getTime() > now.getTime() + AHEAD_MS)
    throw fieldError('bad-input', path, 'in-the-future', 'not after now', { now: now.toISOString() })
  if (at.getTime() < now.getTime() - mostDays * DAY_MS)
    throw fieldError('bad-input', path, 'too-long-ago', `at most ${mostDays} days ago`, { mostDays })
  return at
}
