import { beforeAll, describe, expect, test } from 'vitest'
import { z } from 'zod'
import { ROLES, type Role } from '#contract/access'
import { newId } from '#platform/new-id'
import { buildApp } from '#server/app'
import { makeFlock } from '../../support/builders/members.js'
import type { Agent, Headers, Reply } from '../../support/agent.js'
import { headsOf, tablesOf } from '../../support/heads.js'
import { openMill } from '../../support/mill.js'
import { servedOpenApi, type Route } from '../../support/openapi.js'
import { anotherMember, makeExamples, type Example } from './examples.js'
import { MAY, OWN_ROWS } from './policy.js'

const mill = await openMill()
const { routes } = await servedOpenApi(mill.app)
const examples = await makeExamples(mill)
const other = await anotherMember(mill)
const member = await mill.as('member')
const own = member.user.memberId ?? ''
beforeAll(async () => {
  for (const role of ROLES) await mill.as(role)
})

const allowed = ({ name }: Route): readonly Role[] => {
  const may = MAY[name]
  return may === 'public' || may === undefined ? ROLES : may
}
const isOpen = ({ name }: Route): boolean => MAY[name] === 'public'
const hasId = ({ path }: Route): boolean => path.includes('{id}')
const writes = ({ method }: Route): boolean => method !== 'GET'
const exampleFor = async (route: Route, memberId: string): Promise<Example> => {
  const make = examples[route.name]
  if (make === undefined) throw new Error(`${route.name} has no example`)
  return make(memberId)
}

const ask = (agent: Agent, { method, path }: Route, { id = newId(), query, body, revision }: Example, headers: Headers = {}) => {
  const search = query === undefined ? '' : `?${new URLSearchParams(query).toString()}`
  const address = `${path.replace('{id}', encodeURIComponent(id))}${search}`
  const sent = method === 'GET' || method === 'DELETE' ? undefined : (body ?? {})
  return agent.send(method, address, sent, { ...(revision !== undefined && { revision }), headers })
}
const told = (reply: Reply): string => `${reply.status} ${reply.status < 400 ? '' : reply.problem().code}`

/** Nothing at all changes in any table while `work` runs. */
const writesNothing = async (work: () => Promise<void>): Promise<void> => {
  const before = { ...(await headsOf(mill.sql)), ...(await tablesOf(mill.sql)) }
  await work()
  expect({ ...(await headsOf(mill.sql)), ...(await tablesOf(mill.sql)) }).toEqual(before)
}

describe('the routes', () => {
  test('are all in the table of who may what, and the table holds no other', () => {
    expect(routes.map(({ name }) => name).toSorted()).toEqual(Object.keys(MAY).toSorted())
    expect(Object.keys(examples).toSorted()).toEqual(Object.keys(MAY).toSorted())
  })

  test.each(routes)('$name declares the roles of the table', (route) => {
    const declared = route['x-roles']
    const roles = declared === 'everyone' ? ROLES : declared
    expect(typeof roles === 'string' ? roles : roles.toSorted()).toEqual(isOpen(route) ? 'public' : allowed(route).toSorted())
  })

  test('that are served are those of the document, both ways', async () => {
    const served: string[] = []
    const watch = (app: typeof mill.app): void => {
      app.addHook('onRoute', ({ method, routePath, schema }) => {
        const hidden = (schema as { hide?: boolean } | undefined)?.hide === true
        for (const verb of [method].flat()) if (!hidden && verb !== 'HEAD') served.push(`${verb} ${routePath.replace(':id', '{id}')}`)
      })
    }
    const { FEATURES } = await import('#server/app')
    const config = { requestsPerMinute: 1_000, maxEventLoopDelayMs: 0, secureCookies: false, trustProxy: false }
    const app = await buildApp({ ...mill.deps, config, features: [watch, ...FEATURES], sessionSecret: 'x'.repeat(32) })
    await app.ready()
    expect(served.toSorted()).toEqual(routes.map(({ name }) => name).toSorted())
    expect((await servedOpenApi(app)).routes.map(({ name }) => name)).toEqual(routes.map(({ name }) => name))
    await app.close()
  })

  test.each(routes)('$name has a summary, a schema for every status and its problem codes', ({ summary, responses, ...route }) => {
    expect(summary.length).toBeGreaterThan(5)
    for (const [status, { content }] of Object.entries(responses)) {
      expect(Object.values(content ?? {}).length, status).toBe(status === '204' ? 0 : 1)
      expect(content?.['application/problem+json'] !== undefined, status).toBe(Number(status) >= 400)
    }
    const described = Object.values(responses).map(({ description }) => description)
    for (const code of route['x-problem-codes'])
      expect(
        described.some((text) => text.includes(`${code}:`)),
        code,
      ).toBe(true)
  })

  test('without a declared policy keep the application from being built', async () => {
    const config = { requestsPerMinute: 1_000, maxEventLoopDelayMs: 0, secureCookies: false, trustProxy: false }
    const features = [(app: typeof mill.app): void => void app.post('/lots/:id/eat', async () => 'eaten')]
    await expect(buildApp({ ...mill.deps, config, features, sessionSecret: 'x'.repeat(32) })).rejects.toThrow(
      /\/lots\/:id\/eat declares no roles/,
    )
  })
})

describe('nobody', () => {
  test.each(routes.filter((route) => !isOpen(route)))('is not let in to $name, with or without an object', async (route) => {
    const example = await exampleFor(route, own)
    await writesNothing(async () => {
      expect(told(await ask(mill.anonymous(), route, example))).toBe('401 not-signed-in')
      expect(told(await ask(mill.anonymous(), route, { ...example, id: newId() }))).toBe('401 not-signed-in')
    })
  })
})

const wrong = routes.filter((route) => allowed(route).length < ROLES.length)
describe('a wrong role', () => {
  test.each(wrong)('may not $name, whosever the object is', async (route) => {
    const objects = [await exampleFor(route, own), await exampleFor(route, other), { ...(await exampleFor(route, own)), id: newId() }]
    await writesNothing(async () => {
      for (const role of ROLES.filter((name) => !allowed(route).includes(name))) {
        for (const example of objects) expect(told(await ask(await mill.as(role), route, example)), role).toBe('403 not-allowed')
      }
    })
  })
})

const right = routes.flatMap((route) => allowed(route).map((role) => ({ name: route.name, role, route })))
describe('a right role', () => {
  test.each(right)('$role may $name, and is told where there is no such object', async ({ role, route }) => {
    // Who signs out is not needed any more.
    const agent = route.name === 'DELETE /session' ? await mill.newUser({ role }) : await mill.as(role)
    if (hasId(route)) {
      const missing = { ...(await exampleFor(route, own)), id: newId() }
      await writesNothing(async () => expect(told(await ask(agent, route, missing))).toBe('404 not-found'))
    }
    const reply = await ask(agent, route, await exampleFor(route, own))
    expect(route.responses[String(reply.status)], reply.text).toBeDefined()
    expect(reply.status, reply.text).toBeLessThan(300)
    // The other token of this session is gone with the old one.
    if (route.name === 'POST /session') await agent.signIn(agent.user.login, 'maize and sunflower')
  })
})

describe("another member's things", () => {
  const theirs = routes.filter((route) => hasId(route) && allowed(route).includes('member'))

  test.each(theirs)('do not exist for a member: $name', async (route) => {
    const example = await exampleFor(route, other)
    await writesNothing(async () => expect(told(await ask(member, route, example))).toBe('404 not-found'))
    // It is the member that matters, not the object: whoever may see everybody's is let in to the same one.
    expect((await ask(await mill.as('counter-clerk'), route, example)).status).toBe(200)
  })

  test.each(Object.entries(OWN_ROWS))('are in no list of a member: %s', async (name, field) => {
    for (const memberId of [own, other]) await exampleFor({ name } as Route, memberId)
    const path = name.replace('GET ', '')
    const theirIds = { id: other, memberId: other }
    for (const query of [{}, { perPage: '200' }, { [field]: theirIds[field] }]) {
      const rows = (await member.get(path, query)).as(z.array(z.looseObject({ id: z.string(), memberId: z.string().optional() })))
      expect(rows.filter((row) => row[field] !== own)).toEqual([])
    }
    expect((await (await mill.as('manager')).get(path, { [field]: other })).total).toBeGreaterThan(0)
  })

  test('are not offered feed, not ordered for and given no flock', async () => {
    const theirFlock = await makeFlock(mill.db, { memberId: other })
    expect((await member.get('/offers', { memberId: other })).text).not.toContain(theirFlock.id)
    const example = await exampleFor({ name: 'POST /orders' } as Route, own)
    await writesNothing(async () => {
      const reply = await member.post('/orders', { ...example.body, flockId: theirFlock.id })
      expect([reply.status, reply.problem().code, reply.problem().errors?.[0]?.path]).toEqual([422, 'flock-unknown', 'flockId'])
    })
    const flocks = await mill.db.flock.count({ where: { memberId: other } })
    await member.post('/flocks', { ...(await exampleFor({ name: 'POST /flocks' } as Route, other)).body })
    expect(await mill.db.flock.count({ where: { memberId: other } })).toBe(flocks)
  })

  test('are not on the first page of a member', async () => {
    const order = await exampleFor({ name: 'GET /orders/{id}' } as Route, other)
    expect((await member.get('/home')).text).not.toContain(order.id)
  })
})

const FORMS = ['application/x-www-form-urlencoded', 'multipart/form-data; boundary=x', 'text/plain', 'text/plain; charset=utf-8']
describe('a forged request', () => {
  const guarded = routes.filter((route) => writes(route) && !isOpen(route))
  const someoneFor = (route: Route) => mill.as(allowed(route)[0] ?? 'manager')

  test.each(guarded)('without the token of the session does nothing: $name', async (route) => {
    const agent = await someoneFor(route)
    const example = await exampleFor(route, own)
    await writesNothing(async () => {
      for (const token of ['', 'x'.repeat(40)]) {
        expect(told(await ask(agent, route, example, { 'x-csrf-token': token }))).toBe('403 csrf-refused')
      }
    })
  })

  test.each(routes.filter(writes))("from another site's page does nothing: $name", async (route) => {
    const agent = isOpen(route) ? mill.anonymous() : await someoneFor(route)
    const example = await exampleFor(route, own)
    await writesNothing(async () => {
      for (const site of ['cross-site', 'same-site']) {
        expect(told(await ask(agent, route, example, { 'sec-fetch-site': site }))).toBe('403 csrf-refused')
      }
    })
  })

  test.each(routes.filter((route) => writes(route) && route.method !== 'DELETE'))(
    'as a form, which any page can send, is not read: $name',
    async (route) => {
      const agent = isOpen(route) ? mill.anonymous() : await someoneFor(route)
      const example = await exampleFor(route, own)
      await writesNothing(async () => {
        for (const type of FORMS) {
          expect(told(await ask(agent, route, example, { 'content-type': type }))).toBe('415 unsupported-media-type')
        }
      })
    },
  )
})

test('no GET writes, whoever asks', async () => {
  const reads = routes.filter(({ method }) => method === 'GET')
  const asked: { route: Route; example: Example }[] = []
  for (const route of reads) asked.push({ route, example: await exampleFor(route, own) })
  await writesNothing(async () => {
    for (const { route, example } of asked) {
      for (const role of allowed(route)) expect((await ask(await mill.as(role), route, example)).status, route.name).toBe(200)
    }
  })
})
