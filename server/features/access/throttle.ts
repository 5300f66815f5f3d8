import type pg from 'pg'
import { RateLimiterPostgres, RateLimiterRes } from 'rate-limiter-flexible'
import { MillError } from '#core/errors'
import type { Db } from '#platform/database/client'

const MINUTE = 60
const DAY = 24 * 60 * MINUTE

// A PIN has few digits: 20 wrong ones a day leave a guesser 0.2 % of the 10,000 PINs of four digits. The short limit counts login and
// address together, so that somebody guessing from elsewhere does not keep the owner out.
const LIMITS = {
  loginFromAddress: { points: 5, duration: 15 * MINUTE },
  login: { points: 20, duration: DAY },
  address: { points: 60, duration: 15 * MINUTE },
} as const

const TABLE = 'login_throttle'

/** Counts tries in PostgreSQL, so that more processes do not mean more tries. */
export class SignInThrottle {
  private readonly limiters

  constructor(sql: pg.Pool) {
    const limiter = (name: keyof typeof LIMITS) =>
      new RateLimiterPostgres({
        storeClient: sql,
        storeType: 'pool',
        tableName: TABLE,
        tableCreated: true,
        clearExpiredByTimeout: false,
        keyPrefix: name,
        ...LIMITS[name],
      })
    this.limiters = { loginFromAddress: limiter('loginFromAddress'), login: limiter('login'), address: limiter('address') }
  }

  private keys(login: string, address: string) {
    const { limiters } = this
    return [
      [limiters.loginFromAddress, `${login} ${address}`],
      [limiters.login, login],
      [limiters.address, address],
    ] as const
  }

  /** Counts one try before the password is looked at, so that tries at the same time all count. */
  async count(login: string, address: string): Promise<void> {
    try {
      for (const [limiter, key] of this.keys(login, address)) await limiter.consume(key)
    } catch (refusal) {
      if (!(refusal instanceof RateLimiterRes)) throw refusal
      throw new MillError('too-many-tries', { retryAfterSeconds: Math.ceil(refusal.msBeforeNext / 1000) })
    }
  }

  /** A right password takes its try back, and forgets the wrong ones of this login from this address. */
  async forgive(login: string, address: string): Promise<void> {
    const [own, ...others] = this.keys(login, address)
    await own[0].delete(own[1])
    for (const [limiter, key] of others) await limiter.reward(key)
  }
}

const CONFIRMATIONS = { points: 10, windowMs: 15 * MINUTE * 1000 }

/** The same for passwords asked again during a session: ten wrong ones in a quarter of an hour. */
export const countConfirmation = async (db: Db, userId: string, now: Date): Promise<void> => {
  const key = `confirm:${userId}`
  const until = BigInt(now.getTime() + CONFIRMATIONS.windowMs)
  const rows = await db.$queryRaw<{ points: number; expire: bigint }[]>`
    INSERT INTO login_throttle AS t (key, points, expire) VALUES (${key}, 1, ${until})
    ON CONFLICT (key) DO UPDATE SET
      points = CASE WHEN t.expire <= ${BigInt(now.getTime())} THEN 1 ELSE t.points + 1 END,
      expire = CASE WHEN t.expire <= ${BigInt(now.getTime())} THEN ${until} ELSE t.expire END
    RETURNING points, expire`
  const row = rows[0]
  if (row !== undefined && row.points > CONFIRMATIONS.points) {
    throw new MillError('too-many-tries', { retryAfterSeconds: Math.ceil((Number(row.expire) - now.getTime()) / 1000) })
  }
}

export const forgetConfirmations = async (db: Db, userId: string): Promise<void> => {
  await db.$executeRaw`DELETE FROM login_throttle WHERE key = ${`confirm:${userId}`}`
}
