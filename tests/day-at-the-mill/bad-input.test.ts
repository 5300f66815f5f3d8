import { describe, expect, test } from 'vitest'
import { ROLES, type Role } from '#contract/access'
import { OrderView } from '#contract/orders'
import { ProblemDocument } from '#platform/http/problem-document'
import { newId } from '#platform/new-id'
import { LAYER_LIMITS, limitsOf, makeVersion } from '../support/builders/formulas.js'
import { dayFromNow } from '../support/builders/days.js'
import type { Reply } from '../support/agent.js'
import { headsOf, tablesOf } from '../support/heads.js'
import { openMill, type SignedIn } from '../support/mill.js'
import { servedOpenApi, type Route } from '../support/openapi.js'
import { PASSWORD } from '../support/users.js'
import { makeExamples, type Example } from '../platform/access-matrix/examples.js'

const mill = await openMill()
const { routes } = await servedOpenApi(mill.app)
const examples = await makeExamples(mill)
const own = (await mill.as('member')).user.memberId ?? ''
const exampleOf = async (name: string): Promise<Example> => (await examples[name]?.(own)) ?? {}

// Nobody signs in for the first time while it is watched that nothing is written.
for (const role of ROLES) await mill.as(role)

const stateOf = async () => ({ ...(await headsOf(mill.sql)), ...(await tablesOf(mill.sql)) })
/** A problem document, and not a trace of the attempt in any table. */
const refused = async (work: () => Promise<Reply>) => {
  const before = await stateOf()
  const reply = await work()
  expect(await stateOf(), 'something was written').toEqual(before)
  expect(reply.headers['content-type']).toMatch(/^application\/problem\+json/)
  const problem = reply.problem()
  expect([problem.status, problem.type]).toEqual([reply.status, `urn:kinu:problem:${problem.code}`])
  expect(problem.requestId).toBe(reply.headers['x-request-id'])
  return problem
}

const send = (agent: SignedIn, name: string, example: Example, options: { key?: string; revision?: number } = {}): Promise<Reply> => {
  const [method, path = ''] = name.split(' ')
  const revision = options.revision ?? example.revision
  return agent.send(method as Route['method'], path.replace('{id}', example.id ?? ''), example.body, {
    ...options,
    ...(revision !== undefined && { revision }),
  })
}
const writing = routes.filter(({ method, path }) => method !== 'GET' && path !== '/session')
const commands = writing.filter(({ parameters }) => parameters.some(({ name }) => name === 'idempotency-key'))
const guarded = writing.filter(({ parameters }) => parameters.some(({ name }) => name === 'if-match'))

type Body = { readonly [name: string]: unknown }
type Case = { readonly route: string; readonly field: string; readonly put: Body; readonly as?: Role; readonly says?: [number, string] }
const fault = (route: string, field: string, put: Body, rest: Partial<Case> = {}): Case => ({ route, field, put, ...rest })
/** The same field with one wrong value after the other. */
const each = (route: string, field: string, values: readonly unknown[], rest: Partial<Case> = {}): Case[] =>
  values.map((value) => fault(route, field, { [field]: value }, rest))

const KG = ['-1', '0', '0.000', '0.0001', '100000000', '1e3', 'many', '', ' 5', '5,5', '١٢', 82.5, null, true, ['5'], { kg: '5' }]
const COUNTS = [0, -3, 1.5, '120', 1_000_001, null]

const MOISTURE = { analyte: 'moisture', value: 12, unit: '%', method: 'oven 103 C', measuredOn: dayFromNow(-1) }
const result = (facts: Body) => ({ results: [{ ...MOISTURE, ...facts }] })
const limits = (facts: Parameters<typeof limitsOf>[0]) => ({ limits: limitsOf({ ...LAYER_LIMITS, ...facts }) })
const shares = (share: Body) => limits({ ingredients: [{ ingredientId: 'maize_white', ...share }] })

const CHANGE = 'PATCH /formula-versions/{id}'
const ASSAYS = 'POST /lots/{id}/assays'
const FINISH = 'POST /batches/{id}/finish'
const CASES: readonly Case[] = [
  ...each('POST /lots', 'netKg', KG),
  ...each('POST /lots', 'pricePerKg', ['-1', 'dear', '1000000', 40]),
  ...each('POST /lots', 'intakeMoisturePct', [-1, 61, '12', null].slice(0, 3)),
  ...each('POST /lots', 'bags', [0, -2, 1.5]),
  ...each('POST /lots', 'receivedAt', ['yesterday', '2026-02-30T00:00:00Z', '2099-01-01T00:00:00Z']),
  ...each('POST /lots', 'ingredientId', ['unobtainium'], { says: [422, 'ingredient-unknown'] }),
  ...each('POST /lots', 'supplierId', [newId()], { says: [422, 'supplier-unknown'] }),
  ...each('POST /lots', 'supplierId', ['Ota Traders']),
  ...each('POST /lots', 'netKgs', ['5']),

  fault(ASSAYS, 'results.0.value', result({ analyte: 'CP', value: 450 })),
  fault(ASSAYS, 'results.0.value', result({ analyte: 'CP', value: -8 })),
  fault(ASSAYS, 'results.0.value', result({ analyte: 'CP', value: 450, confirmed: true })),
  fault(ASSAYS, 'results.0.value', result({ analyte: 'aflatoxin_total', unit: 'ug/kg', value: -1 })),
  fault(ASSAYS, 'results.0.value', result({ value: '12 %' })),
  fault(ASSAYS, 'results.0.unit', result({ unit: 'ug/kg' })),
  fault(ASSAYS, 'results.0.analyte', result({ analyte: 'happiness' })),
  fault(ASSAYS, 'results.0.measuredOn', result({ measuredOn: '2099-01-01' })),
  fault(ASSAYS, 'results', { results: [] }),

  fault(CHANGE, 'limits.nutrients.0.min', limits({ nutrients: [{ nutrient: 'CP', min: 19, max: 18 }] })),
  fault(CHANGE, 'limits.nutrients.0.min', limits({ nutrients: [{ nutrient: 'CP' }] })),
  fault(CHANGE, 'limits.nutrients.0.min', limits({ nutrients: [{ nutrient: 'CP', min: 450 }] })),
  fault(CHANGE, 'limits.ratios.0.min', limits({ ratios: [{ id: 'Ca:P', numerator: 'Ca', denominator: 'avP', min: 9, max: 8 }] })),
  fault(CHANGE, 'limits.ingredients.0.minPct', shares({ minPct: 60, maxPct: 50 })),
  fault(CHANGE, 'limits.ingredients.0.maxPct', shares({ maxPct: 101 })),
  fault(CHANGE, 'limits.ingredients.0.minPct', shares({ minPct: -1 })),
  fault(CHANGE, 'limits.groups.0.minPct', limits({ groups: [{ id: 'cakes', ingredientIds: ['salt'], minPct: 5, maxPct: 4 }] })),
  fault(CHANGE, 'limits.ingredients.0.ingredientId', limits({ ingredients: [{ ingredientId: 'unobtainium', maxPct: 5 }] }), {
    says: [422, 'ingredient-unknown'],
  }),
  fault('POST /solve', 'limits.nutrients.0.min', limits({ nutrients: [{ nutrient: 'CP', min: 19, max: 18 }] })),
  ...each('POST /solve', 'batchKg', ['-1', '0', 'a tonne', 1000]),

  ...each('POST /orders', 'kg', [...KG, '0.999', '50000.001'], { as: 'member' }),
  ...each('POST /orders', 'dueOn', ['tomorrow', '2026-02-30', '2020-01-01', '2099-01-01'], { as: 'member' }),
  ...each('POST /orders', 'flockId', [newId()], { as: 'member', says: [422, 'flock-unknown'] }),
  ...each('POST /orders', 'formulaVersionId', [newId()], { as: 'member', says: [409, 'formula-not-approved'] }),

  ...each('POST /flocks', 'birds', COUNTS, { as: 'member' }),
  ...each('PATCH /flocks/{id}', 'birds', COUNTS, { as: 'member' }),
  ...each('POST /members', 'phone', ['0700000001', 'none', '+0', '']),

  ...each(FINISH, 'madeKg', KG),
  fault(FINISH, 'weights.0.actualKg', { weights: [{ part: 'load', position: 1, actualKg: '-0.5' }] }),
  fault(FINISH, 'weights.0.position', { weights: [{ part: 'load', position: 99, actualKg: '1' }] }),
  ...each('POST /batches/{id}/weighings', 'actualKg', ['-0.1', '1e3', 'half a sack', 5, null]),
  ...each('POST /batches/{id}/weighings', 'position', [0, -1, 99, 'first']),
  ...each('POST /orders/{id}/collect', 'collectionCode', ['12', 'abcd', 1234]),
  ...each('POST /lots/{id}/reject', 'reason', ['', '   ', 5]),
]

// What was refused has changed nothing, so one object serves every wrong field of its route.
const untouched = new Map<string, Promise<Example>>()
const untouchedExample = (route: string): Promise<Example> => {
  const present = untouched.get(route) ?? exampleOf(route)
  untouched.set(route, present)
  return present
}

describe('what cannot be', () => {
  test.each(CASES.map((row) => ({ ...row, sent: JSON.stringify(row.put) })))(
    '$route with $sent names $field, and nothing is written',
    async ({ route, field, put, as = 'manager', says = [400, 'bad-input'] }) => {
      const example = await untouchedExample(route)
      const problem = await refused(async () => send(await mill.as(as), route, { ...example, body: { ...example.body, ...put } }))
      expect([problem.status, problem.code], JSON.stringify(problem)).toEqual(says)
      expect(problem.errors?.map(({ path }) => path)).toContain(field)
      expect(problem.errors?.every(({ code, message }) => code !== '' && message !== '')).toBe(true)
    },
  )

  test('an order for a withdrawn formula', async () => {
    const { body } = await exampleOf('POST /orders')
    const { id, revision } = await makeVersion(mill.db)
    const manager = await mill.as('manager')
    expect((await manager.post(`/formula-versions/${id}/withdraw`, { reason: 'replaced' }, { revision })).status).toBe(200)
    const problem = await refused(async () => (await mill.as('member')).post('/orders', { ...body, formulaVersionId: id }))
    expect(problem).toMatchObject({ status: 409, code: 'formula-not-approved', errors: [{ path: 'formulaVersionId' }] })
  })

  test('approval by the author, and by whoever submitted it, manager or not', async () => {
    const manager = await mill.as('manager')
    const nutritionist = await mill.as('nutritionist')
    for (const [author, submitter] of [
      [manager, manager],
      [manager, nutritionist],
      [nutritionist, manager],
    ] as const) {
      const { id } = await makeVersion(mill.db, { status: 'draft', authorId: author.user.id })
      expect((await submitter.post(`/formula-versions/${id}/submit`, {}, { revision: 1 })).status).toBe(200)
      for (const who of new Set([author, submitter])) {
        const problem = await refused(() => who.post(`/formula-versions/${id}/approve`, { password: PASSWORD }, { revision: 2 }))
        expect([problem.status, problem.code]).toEqual([403, 'self-approval'])
      }
    }
  })
})

describe('the same request again', () => {
  test.each(commands.filter(({ method }) => method === 'POST'))(
    '$name with the same key has one effect and one answer, to the byte',
    async ({ name }) => {
      const agent = await mill.as('manager')
      const example = await exampleOf(name)
      const key = newId()
      const first = await send(agent, name, example, { key })
      expect(first.status, first.text).toBeLessThan(300)
      const after = await stateOf()
      const second = await send(agent, name, example, { key })
      expect([second.status, second.bytes.equals(first.bytes), second.headers['idempotency-replayed']]).toEqual([
        first.status,
        true,
        'true',
      ])
      expect(await stateOf()).toEqual(after)
      // The key belongs to that request: with anything else in it, it is refused.
      const fresh = await exampleOf(name)
      const other = { ...fresh, body: { ...fresh.body, ...('name' in (fresh.body ?? {}) && { name: 'Another name' }) } }
      const problem = await refused(() => send(agent, name, other, { key }))
      expect([problem.status, problem.code]).toEqual([422, 'idempotency-key-reused'])
    },
  )

  test('two at the same time with one key have one effect', async () => {
    const member = await mill.as('member')
    const example = await exampleOf('POST /orders')
    const before = await mill.db.order.count()
    const key = newId()
    const replies = await Promise.all(Array.from({ length: 6 }, () => send(member, 'POST /orders', example, { key })))
    const done = replies.filter(({ status }) => status === 201)
    expect(new Set(done.map((reply) => reply.as(OrderView).id)).size).toBe(1)
    for (const reply of replies.filter(({ status }) => status !== 201)) expect(reply.problem().code).toBe('idempotency-key-busy')
    expect(await mill.db.order.count()).toBe(before + 1)
  })

  test.each(commands.filter(({ method }) => method === 'POST'))('$name without a key is not done', async ({ name }) => {
    const { id = '', body = {}, revision = 1 } = await exampleOf(name)
    const headers = { ...(await mill.as('manager')).headers(), 'if-match': `"${revision}"` }
    const url = `/api/v1${name.replace('POST ', '').replace('{id}', id)}`
    const before = await stateOf()
    const problem = ProblemDocument.parse((await mill.app.inject({ method: 'POST', url, headers, payload: body })).json())
    expect(await stateOf()).toEqual(before)
    expect([problem.status, problem.code]).toEqual([400, 'idempotency-key-missing'])
  })
})

describe('a revision', () => {
  test.each(guarded)('that is not the newest changes nothing: $name', async ({ name }) => {
    const agent = await mill.as('manager')
    const example = await exampleOf(name)
    for (const revision of [(example.revision ?? 1) + 1, 99]) {
      const problem = await refused(() => send(agent, name, example, { revision }))
      expect([problem.status, problem.code]).toEqual([412, 'stale-revision'])
    }
  })

  test.each(guarded)('that is not sent is asked for: $name', async ({ name }) => {
    const { revision: _none, ...example } = await exampleOf(name)
    const problem = await refused(async () => send(await mill.as('manager'), name, example))
    expect([problem.status, problem.code]).toEqual([428, 'revision-missing'])
  })
})
