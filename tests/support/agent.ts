import { randomUUID } from 'node:crypto'
import type { FastifyInstance, InjectOptions } from 'fastify'
import type { z } from 'zod'
import { SessionView } from '#contract/access'
import { ProblemDocument } from '#platform/http/problem-document'

export type Headers = { readonly [name: string]: string }
export type Reply = {
  readonly status: number
  readonly headers: { readonly [name: string]: string | string[] | number | undefined }
  readonly text: string
  readonly bytes: Buffer
  readonly body: unknown
  /** X-Total-Count. */
  readonly total: number
  /** The body by its schema; fails when it does not fit. */
  readonly as: <S extends z.ZodType>(schema: S) => z.output<S>
  readonly problem: () => ProblemDocument
}
export type Options = { readonly key?: string; readonly revision?: number; readonly headers?: Headers }
type Method = 'GET' | 'POST' | 'PUT' | 'PATCH' | 'DELETE'

const parsed = (text: string): unknown => {
  try {
    return JSON.parse(text) as unknown
  } catch {
    return undefined
  }
}

/** Somebody with a browser: keeps the cookie, sends the token, and gives every write a new Idempotency-Key. Paths begin after /api/v1. */
export class Agent {
  private cookie = ''
  private csrfToken = ''

  constructor(readonly app: FastifyInstance) {}

  get = (path: string, query: { readonly [name: string]: string } = {}, options: Options = {}): Promise<Reply> => {
    const search = new URLSearchParams(query).toString()
    return this.send('GET', search === '' ? path : `${path}?${search}`, undefined, options)
  }
  post = (path: string, body: unknown = {}, options: Options = {}): Promise<Reply> => this.send('POST', path, body, options)
  put = (path: string, body: unknown = {}, options: Options = {}): Promise<Reply> => this.send('PUT', path, body, options)
  patch = (path: string, body: unknown = {}, options: Options = {}): Promise<Reply> => this.send('PATCH', path, body, options)
  delete = (path: string, options: Options = {}): Promise<Reply> => this.send('DELETE', path, undefined, options)

  async signIn(login: string, password: string): Promise<Reply> {
    const reply = await this.post('/session', { login, password })
    if (reply.status === 200) this.csrfToken = reply.as(SessionView).csrfToken
    return reply
  }

  headers(): Headers {
    return { ...(this.cookie !== '' && { cookie: this.cookie }), ...(this.csrfToken !== '' && { 'x-csrf-token': this.csrfToken }) }
  }

  async send(method: Method, path: string, body: unknown, { key, revision, headers = {} }: Options = {}): Promise<Reply> {
    const request: InjectOptions = {
      method,
      url: `/api/v1${path}`,
      headers: {
        ...this.headers(),
        ...(method !== 'GET' && { 'idempotency-key': key ?? randomUUID() }),
        ...(revision !== undefined && { 'if-match': `"${revision}"` }),
        ...(body !== undefined && { 'content-type': 'application/json' }),
        ...headers,
      },
      ...(body !== undefined && { payload: typeof body === 'string' ? body : JSON.stringify(body) }),
    }
    const answer = await this.app.inject(request)
    const set = answer.cookies.find(({ name }) => name === 'kinu')
    if (set !== undefined) this.cookie = set.value === '' ? '' : `kinu=${encodeURIComponent(set.value)}`
    return {
      status: answer.statusCode,
      headers: answer.headers,
      text: answer.body,
      bytes: answer.rawPayload,
      body: parsed(answer.body),
      total: Number(answer.headers['x-total-count']),
      as: (schema) => schema.parse(parsed(answer.body)),
      problem: () => ProblemDocument.parse(parsed(answer.body)),
    }
  }
}
