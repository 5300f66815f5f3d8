import { fc } from '@fast-check/vitest'
import { describe, expect, test } from 'vitest'
import { PROBLEM_CODES } from '#core/errors'
import { PROBLEMS } from '#platform/http/problems'
import { buildApp } from '#server/app'
import { openMill } from '../support/mill.js'
import { createTally, tallyFeature } from '../support/tally.js'

const mill = await openMill({ features: [tallyFeature] })
await createTally(mill.ownerUrl)
const manager = await mill.as('manager')

const NUL = String.fromCharCode(0)
const deep = (levels: number): string => `${'{"a":'.repeat(levels)}1${'}'.repeat(levels)}`

describe('bad input', () => {
  test.each([
    ['nothing', undefined],
    ['no JSON', '{'],
    ['null', 'null'],
    ['an array', '[]'],
    ['a string', '"x"'],
    ['a number out of range', '{"mark":"a","kg":1e400}'],
    ['U+0000', JSON.stringify({ mark: `a${NUL}`, kg: '1.000' })],
    ['half a surrogate pair', '{"mark":"\\ud800","kg":"1.000"}'],
    ['U+0000 in a name', JSON.stringify({ [`mark${NUL}`]: 'a' })],
    ['a reach into the prototype', '{"__proto__":{"x":1},"mark":"a","kg":"1.000"}'],
    ['10,000 levels', deep(10_000)],
    ['100 levels', deep(100)],
    ['text for kilograms', '{"mark":"a","kg":"much"}'],
    ['negative kilograms', '{"mark":"a","kg":"-1.000"}'],
    ['an empty mark', '{"mark":"","kg":"1.000"}'],
  ])('%s is 400 with a code and a field', async (_name, body) => {
    const before = await mill.db.auditEntry.count()
    const reply = await manager.post('/marks', body)
    expect(reply.status).toBe(400)
    expect(reply.problem().code).toBe('bad-input')
    expect(reply.problem().errors?.length).toBeGreaterThan(0)
    expect(await mill.db.auditEntry.count()).toBe(before)
  })

  test('names every wrong field, what was wrong and what is allowed', async () => {
    const reply = await manager.post('/marks', { mark: 'x'.repeat(41), kg: '1', weight: 3 })
    expect(reply.problem().errors).toEqual([
      { path: 'mark', code: 'too_big', message: expect.stringContaining('40'), facts: { maximum: 40, inclusive: true } },
      { path: 'kg', code: 'invalid_format', message: 'kilograms with three decimals', facts: { format: 'regex' } },
      { path: 'weight', code: 'unrecognized_keys', message: 'there is no such field here' },
    ])
  })

  test.each(['/marks?page=0', '/marks?page=x', '/marks?page=1&page=2', '/marks?nothing=1', '/marks?page=1%00', '/marks?__proto__=1'])(
    '%s is 400',
    async (path) => {
      expect((await manager.get(path)).status).toBe(400)
    },
  )

  test.each(['/marks/not-an-id', '/marks/%00', '/marks/%ff', '/marks/%', `/marks/${'9'.repeat(150)}`, `/marks/${'9'.repeat(5_000)}`])(
    '%s is refused',
    async (path) => {
      const reply = await manager.patch(path, { kg: '1.000' }, { revision: 3 })
      expect([400, 404]).toContain(reply.status)
      expect(reply.problem().requestId).not.toBe('')
    },
  )

  test('more than a mebibyte is refused', async () => {
    const reply = await manager.post('/marks', { mark: 'x'.repeat(1_100_000), kg: '1.000' })
    expect([reply.status, reply.problem().code]).toEqual([413, 'payload-too-large'])
  })

  test.each(['', 'x', '"x"', '-1', '*', '1.5', '99999999999'])('If-Match %s is refused', async (value) => {
    const reply = await manager.patch('/marks/0199b5a0-0000-7000-8000-000000000000', { kg: '1.000' }, { headers: { 'if-match': value } })
    expect([400, 428]).toContain(reply.status)
  })

  test('of any kind is never a 500', async () => {
    await fc.assert(
      fc.asyncProperty(
        fc.oneof(
          fc.json(),
          fc.string({ unit: 'binary' }),
          fc.jsonValue().map((value) => JSON.stringify({ mark: value, kg: value })),
        ),
        async (body) => {
          const reply = await manager.post('/marks', body)
          expect(reply.status).toBeLessThan(500)
        },
      ),
      { numRuns: 300 },
    )
  })
})

describe('who may', () => {
  test('nobody passes without a session, and the wrong role is refused before its body is read', async () => {
    expect((await mill.anonymous().post('/marks', '{')).problem().code).toBe('not-signed-in')
    const laboratory = await mill.as('laboratory')
    const reply = await laboratory.post('/marks/silent', '{')
    expect([reply.status, reply.problem().code]).toEqual([403, 'not-allowed'])
    expect((await laboratory.get('/marks')).status).toBe(403)
  })

  test('a route that declares no roles keeps the application from starting', async () => {
    const config = { requestsPerMinute: 1_000, maxEventLoopDelayMs: 0, secureCookies: false, trustProxy: false }
    const features = [(app: typeof mill.app): void => void app.get('/open', async () => 'anybody')]
    await expect(buildApp({ ...mill.deps, config, features, sessionSecret: 'x'.repeat(32) })).rejects.toThrow(/\/open declares no roles/)
  })
})

test('an unknown address is 404, a wrong method 405 that names the right ones', async () => {
  expect((await manager.get('/nothing')).problem().code).toBe('not-found')
  const reply = await manager.delete('/marks')
  expect([reply.status, reply.problem().code]).toEqual([405, 'method-not-allowed'])
  expect(reply.headers['allow']).toMatch(/GET.*POST|POST.*GET/)
})

test('every answer carries the headers of safety, whatever it is', async () => {
  const requests = [
    { method: 'GET', url: '/health/live' },
    { method: 'GET', url: '/health/ready' },
    { method: 'GET', url: '/metrics' },
    { method: 'GET', url: '/api/openapi.json' },
    { method: 'GET', url: '/api/docs/' },
    { method: 'GET', url: '/nothing' },
    { method: 'GET', url: '/api/v1/session' },
    { method: 'GET', url: '/%ff' },
    { method: 'POST', url: '/api/v1/session', payload: '{' },
    { method: 'PUT', url: '/api/v1/marks' },
  ] as const
  for (const request of requests) {
    const { headers } = await mill.app.inject(request)
    const csp = String(headers['content-security-policy'])
    for (const part of ["script-src 'self'", "object-src 'none'", "base-uri 'none'", "frame-ancestors 'none'"])
      expect(csp, request.url).toContain(part)
    expect(headers, request.url).toMatchObject({
      'x-content-type-options': 'nosniff',
      'x-frame-options': 'DENY',
      'referrer-policy': 'same-origin',
    })
    expect(headers['strict-transport-security'], request.url).toContain('max-age')
    expect(headers['x-request-id'], request.url).toMatch(/^[0-9a-f-]{36}$/)
    expect(headers['x-powered-by']).toBeUndefined()
  }
})

test('answers of the API are kept by no cache', async () => {
  expect((await manager.get('/marks')).headers['cache-control']).toBe('no-store')
})

test('one address that asks too often is told to wait', async () => {
  const config = { requestsPerMinute: 3, maxEventLoopDelayMs: 0, secureCookies: false, trustProxy: false }
  const app = await buildApp({ ...mill.deps, config, sessionSecret: 'x'.repeat(32) })
  const statuses: number[] = []
  for (let index = 0; index < 5; index += 1) statuses.push((await app.inject({ url: '/api/v1/session' })).statusCode)
  expect(statuses).toEqual([401, 401, 401, 429, 429])
  expect((await app.inject({ url: '/health/live' })).statusCode).toBe(200)
  await app.close()
})

test('health and metrics say what they are for', async () => {
  expect((await mill.app.inject('/health/ready')).json()).toEqual({ status: 'ready', database: 'ok', migrations: 'ok', draining: false })
  const metrics = (await mill.app.inject('/metrics')).body
  for (const name of ['http_request_duration_seconds', 'nodejs_eventloop_lag_seconds', 'kinu_database_waiting'])
    expect(metrics).toContain(name)
})

test('a process that drains or is behind says that it is not ready', async () => {
  const config = { requestsPerMinute: 1_000, maxEventLoopDelayMs: 0, secureCookies: false, trustProxy: false }
  const draining = await buildApp({
    ...mill.deps,
    config,
    sessionSecret: 'x'.repeat(32),
    readiness: { draining: true, migration: undefined },
  })
  expect((await draining.inject('/health/ready')).statusCode).toBe(503)
  await draining.close()
  const behind = await buildApp({
    ...mill.deps,
    config,
    sessionSecret: 'x'.repeat(32),
    readiness: { draining: false, migration: '99999999999999_later' },
  })
  expect((await behind.inject('/health/ready')).json()).toMatchObject({ status: 'not-ready', migrations: 'behind' })
  await behind.close()
})

test('a process that is closing refuses with a problem document, and still says how it is', async () => {
  const config = { requestsPerMinute: 1_000, maxEventLoopDelayMs: 0, secureCookies: false, trustProxy: false }
  const app = await buildApp({ ...mill.deps, config, sessionSecret: 'x'.repeat(32) })
  const closing: (() => Promise<void>)[] = []
  app.addHook('preClose', async () => {
    for (const then of closing) await then()
  })
  const answers: { status: number; type: string | null; body: unknown }[] = []
  const address = await app.listen({ port: 0, host: '127.0.0.1' })
  const ask = async (path: string): Promise<void> => {
    const answer = await fetch(`${address}${path}`)
    answers.push({ status: answer.status, type: answer.headers.get('content-type'), body: await answer.json() })
  }
  await ask('/api/v1/mill')
  closing.push(
    () => ask('/api/v1/mill'),
    () => ask('/health/live'),
  )
  await app.close()
  expect(answers.map(({ status, type }) => [status, type?.split(';')[0]])).toEqual([
    [401, 'application/problem+json'],
    [503, 'application/problem+json'],
    [200, 'application/json'],
  ])
  expect(answers[1]?.body).toMatchObject({ code: 'busy', status: 503 })
})

type Described = { summary?: string; responses: { [status: string]: object }; 'x-problem-codes'?: string[] }

test('the document describes every route: summary, an answer and its problems by status, problem codes', async () => {
  const document = (await mill.app.inject('/api/openapi.json')).json<{
    openapi: string
    paths: { [path: string]: { [method: string]: Described } }
  }>()
  expect(document.openapi).toBe('3.1.0')
  const operations = Object.entries(document.paths).flatMap(([path, methods]) =>
    Object.entries(methods).map(([method, facts]) => ({ path, method, ...facts })),
  )
  expect(operations.map(({ method, path }) => `${method} ${path}`)).toEqual(
    expect.arrayContaining(['post /api/v1/session', 'patch /api/v1/marks/{id}']),
  )
  for (const { path, summary, responses, 'x-problem-codes': codes = [] } of operations) {
    expect(summary, path).toBeTruthy()
    expect(
      Object.keys(responses).some((status) => status.startsWith('2')),
      path,
    ).toBe(true)
    for (const code of codes) expect(responses, path).toHaveProperty(String(PROBLEMS[code as keyof typeof PROBLEMS].status))
  }
})

test('each problem code has its status and title, and the reverse', () => {
  expect(Object.keys(PROBLEMS).sort()).toEqual([...PROBLEM_CODES].sort())
})
