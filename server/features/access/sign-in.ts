import { SessionView, SignInBody, type Language, type Role } from '#contract/access'
import { MillError } from '#core/errors'
import type { Actor } from '#platform/actor'
import type { z } from 'zod'
import type { Deps } from '#platform/deps'
import { exchange } from '#platform/exchange'
import { normaliseLogin } from './login-name.js'
import { passwordFits } from './password.js'
import { findByLogin, viewOf } from './queries.js'
import { SignInThrottle } from './throttle.js'

const throttles = new WeakMap<Deps, SignInThrottle>()
const throttleOf = (deps: Deps): SignInThrottle => {
  const throttle = throttles.get(deps) ?? new SignInThrottle(deps.sql)
  throttles.set(deps, throttle)
  return throttle
}

/** Begins a session under a new id, whatever id the browser came with. */
export const signIn = exchange({
  roles: 'public',
  csrf: false,
  input: SignInBody,
  output: SessionView,
  async run({ request, reply, deps }, { login, password }) {
    const throttle = throttleOf(deps)
    const name = Object.values(normaliseLogin(login)).join()
    await throttle.count(name, request.ip)
    const user = await findByLogin(deps.db, login)
    if (!(await passwordFits(user?.passwordHash ?? null, password)) || user === null) throw new MillError('wrong-login')
    await throttle.forgive(name, request.ip)
    const actor: Actor = {
      userId: user.id,
      name: user.name,
      role: user.role as Role,
      memberId: user.memberId,
      language: user.language as z.infer<typeof Language>,
    }
    await request.session.regenerate()
    request.session.userId = actor.userId
    return { user: viewOf(actor), csrfToken: reply.generateCsrf() }
  },
})
