import fc from 'fast-check'
import { afterAll, describe, expect, test } from 'vitest'
import { z } from 'zod'
import { ROLES, type Role } from '#contract/access'
import { StockProofView } from '#contract/stock'
import type { Reply } from '../../support/agent.js'
import { headsOf, type Heads } from '../../support/heads.js'
import { openMill, type SignedIn } from '../../support/mill.js'
import { servedOpenApi, type JsonSchema, type Route } from '../../support/openapi.js'
import { PASSWORD } from '../../support/users.js'
import { makeExamples, type Example } from '../access-matrix/examples.js'
import { requestsOf, type FuzzRequest } from './requests.js'
import type { Known } from './schema-values.js'

/** Another seed tries other requests; the same seed always the same ones. */
const SEED = Number(process.env['KINU_FUZZ_SEED'] ?? 20_261_125)
const EACH = 60
// What solves, draws or hashes takes many times as long as the rest; its wrong inputs are refused before that.
const SLOW = ['GET /orders/{id}/solution', 'GET /batches/{id}/sheet.pdf', 'GET /offers', 'GET /home', 'POST /session', 'DELETE /session']
const SLOW_EACH = 16
const AT_LEAST = 3_000

const mill = await openMill()
const { routes, schemas } = await servedOpenApi(mill.app)
const makers = await makeExamples(mill)
const member = await mill.as('member')
const own = member.user.memberId ?? ''

const idsOf = async (rows: Promise<readonly { id: string }[]>): Promise<string[]> => (await rows).map(({ id }) => id)
const known: Known = {
  ingredientId: ['maize_white', 'soybean_meal_44', 'limestone', 'salt'],
  ingredientIds: ['maize_white', 'limestone'],
  supplierId: await idsOf(mill.db.supplier.findMany({ take: 3 })),
  mixerId: await idsOf(mill.db.mixer.findMany({ take: 2 })),
  formulaVersionId: await idsOf(mill.db.formulaVersion.findMany({ take: 3 })),
  lotId: await idsOf(mill.db.lot.findMany({ take: 3 })),
  memberId: [own],
  stage: ['layer_peak', 'broiler_starter_0_3wk'],
  requirementSource: ['REC'],
  phone: ['+254711000001', '+254711000002'],
  password: [PASSWORD],
  id: await idsOf(mill.db.lot.findMany({ take: 2 })),
}

const documented = new Map<string, z.ZodType>()
const defs = (part: unknown): unknown => JSON.parse(JSON.stringify(part).replaceAll('#/components/schemas/', '#/$defs/'))
const $defs = defs(schemas) as object
const schemaOf = (route: Route, status: number, schema: JsonSchema): z.ZodType => {
  const name = `${route.name} ${status}`
  const found = documented.get(name) ?? z.fromJSONSchema({ ...(defs(schema) as object), $defs } as Parameters<typeof z.fromJSONSchema>[0])
  documented.set(name, found)
  return found
}

/** The status is one that the document has for this route, and the body is what the document says of that status. */
const checkAnswer = (route: Route, reply: Reply): void => {
  expect(reply.status, reply.text).toBeLessThan(500)
  const answer = route.responses[String(reply.status)]
  expect(answer, `${reply.status} is not documented: ${reply.text}`).toBeDefined()
  const [type, content] = Object.entries(answer?.content ?? {})[0] ?? []
  if (type === undefined || content === undefined) return expect(reply.text).toBe('')
  expect(String(reply.headers['content-type'])).toContain(type)
  if (type === 'application/pdf') return expect(reply.bytes.subarray(0, 5).toString()).toBe('%PDF-')
  if (type === 'image/jpeg') return expect(reply.bytes.subarray(0, 3).toString('hex')).toBe('ffd8ff')
  const { error } = schemaOf(route, reply.status, content.schema).safeParse(reply.body)
  expect(error === undefined ? '' : `${z.prettifyError(error)} in ${reply.text}`).toBe('')
}

const roleFor = ({ 'x-roles': roles }: Route): Role =>
  roles === 'public' || roles === 'everyone' || roles.includes('manager')
    ? 'manager'
    : (ROLES.find((role) => roles.includes(role)) ?? 'manager')
// Members go through other branches wherever they may go at all.
const rolesFor = (route: Route): Role[] => {
  const roles = route['x-roles']
  const both = roles === 'everyone' || (Array.isArray(roles) && roles.includes('member'))
  return both ? [roleFor(route), 'member'] : [roleFor(route)]
}

const tally = { sent: 0, statuses: new Map<number, number>() }
let heads: Heads = await headsOf(mill.sql)

const tryOne = async (agent: SignedIn, route: Route, { address, body, headers }: FuzzRequest): Promise<void> => {
  const options = { headers: { ...headers, ...(body !== undefined && { 'content-type': 'application/json' }) } }
  const reply = await agent.send(route.method, address, body, options)
  tally.sent += 1
  tally.statuses.set(reply.status, (tally.statuses.get(reply.status) ?? 0) + 1)
  checkAnswer(route, reply)
  const now = await headsOf(mill.sql)
  if (reply.status >= 400 || route.method === 'GET') expect(now, `${reply.status} wrote something`).toEqual(heads)
  heads = now
}

afterAll(() => {
  const statuses = [...tally.statuses].toSorted(([a], [b]) => a - b).map(([status, count]) => `${count} x ${status}`)
  process.stdout.write(`${tally.sent} requests with seed ${SEED} (KINU_FUZZ_SEED): ${statuses.join(', ')}\n`)
})

describe(`requests made from the OpenAPI document, seed ${SEED}`, () => {
  test.each(routes)(
    '$name answers as documented, whatever is sent',
    async (route) => {
      const made: Example[] = []
      for (let i = 0; i < 3; i += 1) made.push((await makers[route.name]?.(own)) ?? {})
      // Signing in and out needs somebody whose session may end; hashing a password takes its time.
      const isSession = route.path === '/session' && route.method !== 'GET'
      for (const role of rolesFor(route)) {
        const agent = isSession ? await mill.newUser({ role }) : await mill.as(role)
        heads = await headsOf(mill.sql)
        await fc.assert(
          fc.asyncProperty(requestsOf(route, made, { schemas, known }), async (request) => {
            await tryOne(agent, route, request)
            if (isSession && route.method !== 'PATCH') await agent.signIn(agent.user.login, PASSWORD)
          }),
          { seed: SEED, numRuns: Math.ceil((SLOW.includes(route.name) ? SLOW_EACH : EACH) / rolesFor(route).length), endOnFailure: false },
        )
      }
    },
    120_000,
  )

  // Where a console is built, its files are looked for at every address that no route has.
  test.each([
    'x'.repeat(250),
    'x'.repeat(9_000),
    '%2e%2e%2f%2e%2e%2fpackage.json',
    '..%5c..%5cpackage.json',
    '.env',
    'assets',
    'index.html',
  ])('to an address that no route has are not found: %s', async (part) => {
    const manager = await mill.as('manager')
    for (const address of [`/batches/${part}`, `/${part}`, `/lots/${part}/release`]) {
      const reply = await manager.get(address)
      expect([400, 404, 405], address).toContain(reply.status)
      expect(['not-found', 'bad-input', 'method-not-allowed']).toContain(reply.problem().code)
    }
  })

  test(`were at least ${AT_LEAST}, of which many passed and many were refused, and the books are whole`, async () => {
    expect(tally.sent).toBeGreaterThanOrEqual(AT_LEAST)
    const count = (from: number, to: number): number =>
      [...tally.statuses].reduce((sum, [status, many]) => sum + (status >= from && status < to ? many : 0), 0)
    expect(count(200, 300) / tally.sent).toBeGreaterThan(0.1)
    expect(count(400, 500) / tally.sent).toBeGreaterThan(0.3)
    const proof = (await (await mill.as('manager')).get('/stock-proof')).as(StockProofView)
    expect(proof).toMatchObject({ whole: true, unbalancedTransfers: 0, lotDifferences: [], bagDifferences: [], auditBrokenAt: null })
  })
})
