import { MillError } from '#core/errors'
import type { Db } from '#platform/database/client'

/** Five wrong codes an hour and order: a guesser then needs weeks for the 10,000 codes of four digits. */
const MOST_TRIES = 5
const WINDOW_MS = 60 * 60 * 1000
const keyOf = (orderId: string): string => `collect:${orderId}`

/** Counts one try before the code is looked at, so that tries at the same time all count. */
export const countCodeTry = async (db: Db, orderId: string, now: Date): Promise<void> => {
  const nowMs = BigInt(now.getTime())
  const until = BigInt(now.getTime() + WINDOW_MS)
  const [row] = await db.$queryRaw<{ points: number; expire: bigint }[]>`
    INSERT INTO login_throttle AS t (key, points, expire) VALUES (${keyOf(orderId)}, 1, ${until})
    ON CONFLICT (key) DO UPDATE SET
      points = CASE WHEN t.expire <= ${nowMs} THEN 1 ELSE t.points + 1 END,
      expire = CASE WHEN t.expire <= ${nowMs} THEN ${until} ELSE t.expire END
    RETURNING points, expire`
  if (row !== undefined && row.points > MOST_TRIES) {
    throw new MillError('too-many-tries', { retryAfterSeconds: Math.ceil((Number(row.expire) - now.getTime()) / 1000) })
  }
}

/** A right code forgets the wrong ones. */
export const forgetCodeTries = async (db: Db, orderId: string): Promise<void> => {
  await db.$executeRaw`DELETE FROM login_throttle WHERE key = ${keyOf(orderId)}`
}
