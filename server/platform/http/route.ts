import type { FastifyInstance, FastifyReply, FastifyRequest, HTTPMethods } from 'fastify'
import { z } from 'zod'
import { MillError, type ProblemCode } from '#core/errors'
import type { Actor, Policy } from '../actor.js'
import type { Command } from '../command.js'
import type { Deps } from '../deps.js'
import { encodeAnswer, execute } from '../execute.js'
import type { Exchange } from '../exchange.js'
import { fingerprintOf, readKey } from '../idempotency.js'
import type { Document, Page, Query } from '../query.js'
import { badInput } from './bad-input.js'
import { problemSchemas } from './problem-document.js'
import { readRevision } from './revision.js'
import { checkWire } from './wire.js'

export type Endpoint = Command | Query | Document | Exchange
export type Method = 'GET' | 'POST' | 'PUT' | 'PATCH' | 'DELETE'
export type RouteFacts = {
  readonly operationId: string
  readonly tags: readonly string[]
  readonly summary: string
  /** The codes that this endpoint's own rules give; those that every such route can give are added. */
  readonly problems?: readonly ProblemCode[]
  /** Bytes of the body, unpacked, where one route takes more than the others. */
  readonly bodyLimit?: number
}

declare module 'fastify' {
  interface FastifyInstance {
    mill: Deps
  }
  interface FastifyRequest {
    actor: Actor | null
  }
  interface FastifyContextConfig {
    policy?: Policy | undefined
    csrf?: boolean
    problems?: ReadonlySet<ProblemCode>
  }
}

const problemsOf = (method: Method, endpoint: Endpoint, own: readonly ProblemCode[]): ProblemCode[] => {
  const writes = method !== 'GET'
  const codes = new Set<ProblemCode>(['bad-input', 'too-many-tries', 'busy', 'internal', ...own])
  if (endpoint.roles !== 'public') codes.add('not-signed-in').add('not-allowed')
  if (endpoint.params !== undefined) codes.add('not-found')
  if (writes) codes.add('csrf-refused').add('payload-too-large').add('unsupported-media-type')
  if (endpoint.kind === 'command') {
    codes.add('idempotency-key-reused').add('idempotency-key-busy')
    if (method === 'POST') codes.add('idempotency-key-missing')
    if (endpoint.ifMatch) codes.add('revision-missing').add('stale-revision')
  }
  return [...codes]
}

const Empty = z.strictObject({})
const IfMatch = z.object({ 'if-match': z.string().describe('The revision that was read') })
const KeyHeader = z.object({
  'idempotency-key': z.string().describe('Chosen by the client; the same again for a repeat of the same request'),
})

const headersOf = (method: Method, endpoint: Endpoint): z.ZodObject | undefined => {
  if (endpoint.kind !== 'command') return undefined
  const key = method === 'POST' ? KeyHeader : KeyHeader.partial()
  return endpoint.ifMatch ? key.extend(IfMatch.shape) : key
}

const answerSchema = (endpoint: Endpoint): { [status: string]: unknown } => {
  if (endpoint.kind === 'document') {
    return { 200: { description: 'The file', content: { [endpoint.contentType]: { schema: z.string().meta({ format: 'binary' }) } } } }
  }
  const status = endpoint.kind === 'query' ? 200 : endpoint.status
  // The document then says that there is no body at all.
  if (status === 204) return { 204: z.null().describe('Done') }
  const schema = endpoint.kind === 'query' && endpoint.list ? z.array(endpoint.output) : endpoint.output
  return { [status]: { description: 'Done', content: { 'application/json': { schema } } } }
}

const partOf = (schema: z.ZodObject | undefined, value: unknown, issues: z.core.$ZodIssue[]): object => {
  const sent = value ?? {}
  checkWire(sent)
  const read = (schema ?? Empty).safeParse(sent)
  if (read.success) return read.data
  issues.push(...read.error.issues)
  return {}
}

// A GET has no body and a write no query string: what is sent where nothing is taken is refused, not dropped.
const inputOf = (endpoint: Endpoint, request: FastifyRequest): object => {
  const issues: z.core.$ZodIssue[] = []
  const reads = request.method === 'GET' || request.method === 'HEAD'
  const params = partOf(endpoint.params, request.params, issues)
  const query = partOf(reads ? endpoint.input : undefined, request.query, issues)
  const body = reads ? {} : partOf(endpoint.input, request.body, issues)
  if (issues.length > 0) throw badInput(new z.ZodError(issues))
  return { ...query, ...body, ...params }
}

const sendJson = (reply: FastifyReply, status: number, body: string): FastifyReply =>
  reply.code(status).header('content-type', 'application/json; charset=utf-8').send(body)

const one = (header: string | string[] | undefined): string | undefined => (Array.isArray(header) ? header[0] : header)

const answerCommand = async (app: FastifyInstance, routeName: string, command: Command, request: FastifyRequest, reply: FastifyReply) => {
  const key = readKey(one(request.headers['idempotency-key']))
  if (key === undefined && request.method === 'POST') throw new MillError('idempotency-key-missing')
  const fields = inputOf(command, request)
  const input = command.ifMatch ? { ...fields, revision: readRevision(one(request.headers['if-match'])) } : fields
  const { actor } = request
  const claim =
    key === undefined || actor === null
      ? undefined
      : {
          actorId: actor.userId,
          route: routeName,
          key,
          fingerprint: fingerprintOf([request.params, request.body ?? {}, one(request.headers['if-match']) ?? null]),
        }
  const outcome = await execute(app.mill, command, { actor, input, claim, requestId: request.id })
  if (outcome.replayed) reply.header('idempotency-replayed', 'true')
  return sendJson(reply, outcome.status, outcome.body)
}

const answerQuery = async (app: FastifyInstance, query: Query, request: FastifyRequest, reply: FastifyReply) => {
  const { db, pool, clock } = app.mill
  const value = await query.run({ db, pool, actor: request.actor, now: clock?.() ?? new Date() }, inputOf(query, request))
  if (!query.list) return sendJson(reply, 200, encodeAnswer(query.output, value))
  const { items, total } = value as Page<unknown>
  return sendJson(reply.header('x-total-count', String(total)), 200, encodeAnswer(z.array(query.output), items))
}

const answerDocument = async (app: FastifyInstance, document: Document, request: FastifyRequest, reply: FastifyReply) => {
  const { db, pool, clock } = app.mill
  const { fileName, bytes } = await document.run(
    { db, pool, actor: request.actor, now: clock?.() ?? new Date() },
    inputOf(document, request),
  )
  const name = fileName.replace(/[^\w.-]+/g, '-')
  // A PDF may open in the browser, to be printed from there; anything else is only saved.
  const how = document.contentType === 'application/pdf' ? 'inline' : 'attachment'
  return reply
    .header('content-type', document.contentType)
    .header('content-disposition', `${how}; filename="${name}"`)
    .send(Buffer.from(bytes))
}

const answerExchange = async (app: FastifyInstance, endpoint: Exchange, request: FastifyRequest, reply: FastifyReply) => {
  const now = app.mill.clock?.() ?? new Date()
  const value = await endpoint.run({ request, reply, deps: app.mill, actor: request.actor, now }, inputOf(endpoint, request))
  return endpoint.status === 204 ? reply.code(204).send() : sendJson(reply, endpoint.status, encodeAnswer(endpoint.output, value))
}

/** Declares one endpoint under the prefix of the API: its method, path, policy, schemas and problem codes. */
export const route = (app: FastifyInstance, method: Method, path: string, endpoint: Endpoint, facts: RouteFacts): void => {
  const problems = problemsOf(method, endpoint, facts.problems ?? [])
  const name = `${method} ${path}`
  const headers = headersOf(method, endpoint)
  const schema = {
    operationId: facts.operationId,
    tags: [...facts.tags],
    summary: facts.summary,
    description: `Roles: ${[endpoint.roles].flat().join(', ')}. Problem codes: ${problems.join(', ')}.`,
    'x-problem-codes': problems,
    'x-roles': endpoint.roles,
    ...(endpoint.params !== undefined && { params: endpoint.params }),
    ...(headers !== undefined && { headers }),
    ...(endpoint.input !== undefined && (method === 'GET' ? { querystring: endpoint.input } : { body: endpoint.input })),
    response: { ...answerSchema(endpoint), ...problemSchemas(problems) },
  }
  app.route({
    method: method as HTTPMethods,
    // Fastify writes :id where the document writes {id}.
    url: path,
    schema,
    ...(facts.bodyLimit !== undefined && { bodyLimit: facts.bodyLimit }),
    config: {
      policy: endpoint.roles,
      csrf: method !== 'GET' && (endpoint.kind !== 'exchange' || endpoint.csrf),
      problems: new Set(problems),
    },
    handler: async (request, reply) => {
      switch (endpoint.kind) {
        case 'command':
          return answerCommand(app, name, endpoint, request, reply)
        case 'query':
          return answerQuery(app, endpoint, request, reply)
        case 'document':
          return answerDocument(app, endpoint, request, reply)
        case 'exchange':
          return answerExchange(app, endpoint, request, reply)
      }
    },
  })
}
