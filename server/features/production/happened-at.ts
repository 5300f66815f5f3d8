import { fieldError } from '#core/errors'

/** A clock that is a few minutes ahead is no lie. */
const AHEAD_MS = 5 * 60 * 1000

/** When something happened, if it is entered later; never after now. */
export const happenedAt = (path: string, told: string | null, now: Date): Date => {
  if (told === null) return now
  const at = new Date(told)
  if (at.getTime() > now.getTime() + AHEAD_MS)
    throw fieldError('bad-input', path, 'in-the-future', 'not after now', { now: now.toISOString() })
  return at
}
