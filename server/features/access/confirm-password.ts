import { fieldError } from '#core/errors'
import type { Actor } from '#platform/actor'
import type { Db } from '#platform/database/client'
import { passwordFits } from './password.js'
import { countConfirmation, forgetConfirmations } from './throttle.js'

/** Asks the password again before what is signed with it; for `prepare`, outside the transaction. Throws `wrong-password` or `too-many-tries`. */
export const confirmPassword = async (db: Db, actor: Actor, password: string): Promise<void> => {
  await countConfirmation(db, actor.userId, new Date())
  const user = await db.appUser.findUnique({ where: { id: actor.userId }, select: { passwordHash: true } })
  if (!(await passwordFits(user?.passwordHash ?? null, password))) {
    throw fieldError('wrong-password', 'password', 'wrong-password', 'this is not your password')
  }
  await forgetConfirmations(db, actor.userId)
}
