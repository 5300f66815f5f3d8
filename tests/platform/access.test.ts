import { hash } from '@node-rs/argon2'
import { beforeEach, describe, expect, test } from 'vitest'
import { SessionView } from '#contract/access'
import { confirmPassword } from '#features/access/confirm-password'
import { normaliseLogin, normalisePhone } from '#features/access/login-name'
import { openMill } from '../support/mill.js'
import { PASSWORD, createUser } from '../support/users.js'

const mill = await openMill()

beforeEach(async () => {
  await mill.db.loginThrottle.deleteMany()
})

describe('signing in', () => {
  test('by e-mail, in whatever case, and by phone, however written', async () => {
    const user = await createUser(mill.db, { role: 'member', email: 'wanjiru@test.example' })
    for (const login of [' Wanjiru@TEST.example', user.phone, user.phone.replace('+254', '0'), user.phone.replace('+254', '254 ')]) {
      const reply = await mill.anonymous().signIn(login, PASSWORD)
      expect(reply.as(SessionView).user).toEqual({ id: user.id, name: user.name, role: 'member', memberId: user.memberId, language: 'en' })
    }
  })

  test('a wrong password, an unknown login and a disabled user get the same answer', async () => {
    const user = await createUser(mill.db, { role: 'manager' })
    const disabled = await createUser(mill.db, { role: 'manager', disabled: true })
    const tries = [
      [user.login, 'wrong'],
      ['nobody@test.example', PASSWORD],
      [disabled.login, PASSWORD],
    ] as const
    const told = await Promise.all(tries.map(async ([login, password]) => (await mill.anonymous().signIn(login, password)).problem()))
    expect(new Set(told.map(({ status, code, title }) => JSON.stringify([status, code, title])))).toEqual(
      new Set([JSON.stringify([401, 'wrong-login', 'Login or password is wrong'])]),
    )
  })

  test('an unknown login takes as long as a known one', async () => {
    const user = await createUser(mill.db, { role: 'manager' })
    const took = async (login: string): Promise<number> => {
      await mill.db.loginThrottle.deleteMany()
      const start = performance.now()
      await mill.anonymous().signIn(login, 'wrong')
      return performance.now() - start
    }
    const logins = { known: user.login, unknown: 'nobody@test.example' }
    const times = { known: [] as number[], unknown: [] as number[] }
    // In turn, so that a machine that becomes busy does so for both.
    for (let index = 0; index < 24; index += 1)
      for (const which of ['known', 'unknown'] as const) times[which].push(await took(logins[which]))
    const median = (list: number[]): number => list.sort((a, b) => a - b)[Math.trunc(list.length / 2)] ?? 0
    const [known, unknown] = [median(times.known), median(times.unknown)]
    // Hashing alone takes about 20 ms; without it an unknown login would answer in a quarter of the time.
    expect(unknown / known).toBeGreaterThan(0.6)
    expect(unknown / known).toBeLessThan(1.67)
  })

  test('passwords are kept as argon2id at the floor that OWASP names, or above', async () => {
    const { passwordHash } = await mill.db.appUser.findFirstOrThrow()
    const [, m, t, p] = /^\$argon2id\$v=19\$m=(\d+),t=(\d+),p=(\d+)\$/.exec(passwordHash) ?? []
    expect(Number(m)).toBeGreaterThanOrEqual(19_456)
    expect(Number(t)).toBeGreaterThanOrEqual(2)
    expect(Number(p)).toBeGreaterThanOrEqual(1)
    expect(await hash('x')).not.toBe(passwordHash)
  })

  test('a session gets a new id at sign-in, whatever id the browser came with', async () => {
    const user = await createUser(mill.db, { role: 'manager' })
    const payload = { login: user.login, password: PASSWORD }
    const first = await mill.app.inject({ method: 'POST', url: '/api/v1/session', payload })
    const planted = first.cookies[0]?.value ?? ''
    const second = await mill.app.inject({ method: 'POST', url: '/api/v1/session', payload, cookies: { kinu: planted } })
    expect(second.cookies[0]?.value).not.toBe(planted)
    const old = await mill.app.inject({ method: 'GET', url: '/api/v1/session', cookies: { kinu: planted } })
    expect(old.statusCode).toBe(401)
    const fresh = await mill.app.inject({ method: 'GET', url: '/api/v1/session', cookies: { kinu: second.cookies[0]?.value ?? '' } })
    expect(fresh.statusCode).toBe(200)
  })

  test('the cookie is out of reach of scripts and other sites, and the table holds no usable id', async () => {
    const user = await createUser(mill.db, { role: 'manager' })
    const reply = await mill.app.inject({ method: 'POST', url: '/api/v1/session', payload: { login: user.login, password: PASSWORD } })
    expect(reply.cookies[0]).toMatchObject({ name: 'kinu', httpOnly: true, sameSite: 'Strict', path: '/' })
    const id = (reply.cookies[0]?.value ?? '').split('.', 1)[0] ?? ''
    const stored = await mill.db.session.findFirstOrThrow({ where: { userId: user.id } })
    expect(JSON.stringify(stored)).not.toContain(id)
  })

  test('behind TLS the cookie is Secure and bound to the host', async () => {
    const secure = await openSecure()
    expect(secure).toMatchObject({ name: '__Host-kinu', secure: true, path: '/' })
    expect(secure?.domain).toBeUndefined()
  })
})

const openSecure = async () => {
  const { buildApp } = await import('#server/app')
  const config = { requestsPerMinute: 1_000, maxEventLoopDelayMs: 0, secureCookies: true, trustProxy: true }
  const app = await buildApp({ ...mill.deps, config, sessionSecret: 'another secret that only tests know' })
  const user = await createUser(mill.db, { role: 'manager' })
  const payload = { login: user.login, password: PASSWORD }
  const reply = await app.inject({ method: 'POST', url: '/api/v1/session', payload, headers: { 'x-forwarded-proto': 'https' } })
  await app.close()
  return reply.cookies[0]
}

describe('too many tries', () => {
  test('stop even the right password for a while, and say for how long', async () => {
    const user = await createUser(mill.db, { role: 'manager' })
    for (let index = 0; index < 5; index += 1) expect((await mill.anonymous().signIn(user.login, 'wrong')).status).toBe(401)
    const reply = await mill.anonymous().signIn(user.login, PASSWORD)
    expect([reply.status, reply.problem().code]).toEqual([429, 'too-many-tries'])
    expect(Number(reply.headers['retry-after'])).toBeGreaterThan(0)
  })

  test('at the same time all count', async () => {
    const user = await createUser(mill.db, { role: 'manager' })
    const replies = await Promise.all(Array.from({ length: 20 }, () => mill.anonymous().signIn(user.login, 'wrong')))
    expect(replies.filter(({ status }) => status === 401)).toHaveLength(5)
    expect(replies.filter(({ status }) => status === 429)).toHaveLength(15)
  })

  test('from one address against many logins stop too', async () => {
    const statuses: number[] = []
    for (let index = 0; index < 65; index += 1) statuses.push((await mill.anonymous().signIn(`guess${index}@test.example`, 'x')).status)
    expect(statuses.filter((status) => status === 401)).toHaveLength(60)
    expect(statuses.at(-1)).toBe(429)
  })

  test('are forgotten after the right password', async () => {
    const user = await createUser(mill.db, { role: 'manager' })
    for (let round = 0; round < 3; round += 1) {
      for (let index = 0; index < 4; index += 1) await mill.anonymous().signIn(user.login, 'wrong')
      expect((await mill.anonymous().signIn(user.login, PASSWORD)).status).toBe(200)
    }
  })
})

describe('a session', () => {
  test('ends in the table, so that a copied cookie is worth nothing', async () => {
    const agent = await mill.newUser({ role: 'counter-clerk' })
    const copied = agent.headers()
    expect((await agent.delete('/session')).status).toBe(204)
    const reply = await mill.app.inject({ method: 'GET', url: '/api/v1/session', headers: copied })
    expect(reply.statusCode).toBe(401)
  })

  test('of a disabled user is over at once', async () => {
    const agent = await mill.newUser({ role: 'mixer-operator' })
    await mill.db.appUser.update({ where: { id: agent.user.id }, data: { disabledAt: new Date() } })
    expect((await agent.get('/session')).status).toBe(401)
  })

  test('follows a change of role at once', async () => {
    const agent = await mill.newUser({ role: 'laboratory' })
    await mill.db.appUser.update({ where: { id: agent.user.id }, data: { role: 'store-keeper' } })
    expect((await agent.get('/session')).as(SessionView).user.role).toBe('store-keeper')
  })

  test('that is past its time is none', async () => {
    const agent = await mill.newUser({ role: 'laboratory' })
    await mill.db.session.updateMany({ where: { userId: agent.user.id }, data: { expiresAt: new Date(Date.now() - 1_000) } })
    expect((await agent.get('/session')).status).toBe(401)
  })

  test('keeps the language that its user chose, and the change is on record', async () => {
    const agent = await mill.newUser({ role: 'member' })
    expect((await agent.patch('/session', { language: 'sw' })).status).toBe(200)
    expect((await agent.get('/session')).as(SessionView).user.language).toBe('sw')
    expect(await mill.db.auditEntry.count({ where: { entityId: agent.user.id, action: 'user.language-changed' } })).toBe(1)
    expect((await agent.patch('/session', { language: 'fr' })).problem().errors).toMatchObject([
      { path: 'language', facts: { values: ['en', 'sw'] } },
    ])
  })
})

describe('a request forged by another site', () => {
  test('has no token, a wrong one, or says where it comes from', async () => {
    const agent = await mill.newUser({ role: 'manager' })
    const { cookie = '' } = agent.headers()
    const other = (await mill.newUser({ role: 'manager' })).headers()['x-csrf-token'] ?? ''
    const forged = [
      { cookie },
      { cookie, 'x-csrf-token': 'guess' },
      { cookie, 'x-csrf-token': other },
      { ...agent.headers(), 'sec-fetch-site': 'cross-site' },
    ]
    for (const headers of forged) {
      const reply = await mill.app.inject({ method: 'PATCH', url: '/api/v1/session', payload: { language: 'sw' }, headers })
      expect([reply.statusCode, reply.json<{ code: string }>().code]).toEqual([403, 'csrf-refused'])
    }
    expect((await agent.get('/session')).as(SessionView).user.language).toBe('en')
  })

  test('cannot sign somebody in either', async () => {
    const reply = await mill
      .anonymous()
      .post('/session', { login: 'a@b.example', password: 'x' }, { headers: { 'sec-fetch-site': 'cross-site' } })
    expect(reply.status).toBe(403)
  })

  test('is no form: only JSON is taken', async () => {
    for (const type of ['application/x-www-form-urlencoded', 'text/plain', 'multipart/form-data; boundary=x']) {
      const reply = await mill.anonymous().post('/session', 'login=a&password=b', { headers: { 'content-type': type } })
      expect([reply.status, reply.problem().code]).toEqual([415, 'unsupported-media-type'])
    }
  })
})

test('a password asked again is checked, and guessing it is throttled', async () => {
  const { user } = await mill.newUser({ role: 'manager' })
  const actor = { userId: user.id, role: user.role, memberId: null, name: user.name, language: 'en' as const }
  await confirmPassword(mill.db, actor, PASSWORD)
  for (let index = 0; index < 10; index += 1) {
    await expect(confirmPassword(mill.db, actor, 'wrong')).rejects.toMatchObject({ code: 'wrong-password', fields: [{ path: 'password' }] })
  }
  await expect(confirmPassword(mill.db, actor, PASSWORD)).rejects.toMatchObject({ code: 'too-many-tries' })
})

test('phone numbers have one form', () => {
  for (const text of ['0712 345 678', '+254712345678', '254-712-345678', '00254712345678', '712345678'])
    expect(normalisePhone(text)).toBe('+254712345678')
  expect(normaliseLogin(' A@B.Example ')).toEqual({ email: 'a@b.example' })
})
