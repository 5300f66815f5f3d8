import type { ProblemCode } from '#core/errors'

/** What went wrong with a request, in the mill's own codes; two more that only a browser can know. */
export type ProblemName = ProblemCode | 'no-network' | 'no-answer'
export type ProblemField = {
  readonly path: string
  readonly code: string
  readonly message: string
  /** What is allowed, for a sentence in the reader's language. */
  readonly facts?: Readonly<Record<string, unknown>>
}

export class Problem extends Error {
  constructor(
    readonly code: ProblemName,
    readonly status: number,
    readonly requestId: string | undefined,
    readonly fields: readonly ProblemField[],
    /** The whole problem document: some refusals carry facts or findings. */
    readonly body: unknown,
  ) {
    super(code)
    this.name = 'Problem'
  }
}

/** What was thrown, as a problem: anything else than one means that the mill was not understood. */
export const asProblem = (cause: unknown): Problem => (cause instanceof Problem ? cause : new Problem('no-answer', 0, undefined, [], cause))

export type Answer<T> = { readonly body: T; readonly headers: Headers }
export type RequestOptions = {
  readonly body?: unknown
  readonly idempotencyKey?: string | undefined
  readonly revision?: number | string | undefined
  readonly signal?: AbortSignal | undefined
}

export const API = '/api/v1'

let csrfToken = ''
export const rememberCsrf = (token: string): void => {
  csrfToken = token
}

const ANSWERED = 'kinu.answeredAt'
let answeredAt: string | undefined
const noteAnswer = (): void => {
  answeredAt = new Date().toISOString()
  try {
    localStorage.setItem(ANSWERED, answeredAt)
  } catch {
    // no storage in this browser: a page that opens without a network does not know how old its figures are
  }
}

/** When the mill last answered anything on this device: how old the figures are when there is no network. */
export const lastAnswerAt = (): string | undefined => {
  try {
    return answeredAt ?? localStorage.getItem(ANSWERED) ?? undefined
  } catch {
    return answeredAt
  }
}

/** Made when a form opens, kept for every repeat of that same entry. */
export const newKey = (): string => crypto.randomUUID()

const isRecord = (value: unknown): value is Record<string, unknown> => typeof value === 'object' && value !== null

const textOf = (value: unknown): string => (typeof value === 'string' ? value : '')

const readFields = (errors: unknown): ProblemField[] =>
  Array.isArray(errors)
    ? errors.filter(isRecord).map((error) => ({
        path: textOf(error['path']),
        code: textOf(error['code']),
        message: textOf(error['message']),
        facts: isRecord(error['facts']) ? error['facts'] : {},
      }))
    : []

const readBody = async (response: Response): Promise<unknown> => {
  const text = await response.text()
  if (text === '') return null
  try {
    return JSON.parse(text) as unknown
  } catch {
    return text
  }
}

/** A proxy or a crash may answer without a problem document: then only the kind of status is known. */
const codeOf = (status: number): ProblemName =>
  status === 401 ? 'not-signed-in' : status === 404 ? 'not-found' : status >= 500 ? 'internal' : 'bad-input'

export const problemOf = (status: number, body: unknown, headers: Headers): Problem => {
  const record = isRecord(body) ? body : {}
  const code = typeof record['code'] === 'string' ? (record['code'] as ProblemName) : codeOf(status)
  const requestId = typeof record['requestId'] === 'string' ? record['requestId'] : (headers.get('x-request-id') ?? undefined)
  return new Problem(code, status, requestId, readFields(record['errors']), body)
}

export const headersFor = (method: string, { body, idempotencyKey, revision }: RequestOptions): Headers => {
  const headers = new Headers({ accept: 'application/json' })
  if (body !== undefined) headers.set('content-type', 'application/json')
  if (method !== 'GET') headers.set('x-csrf-token', csrfToken)
  if (idempotencyKey) headers.set('idempotency-key', idempotencyKey)
  if (revision !== undefined) headers.set('if-match', `"${revision}"`)
  return headers
}

/** One request to the mill: cookie session, CSRF token, problem documents as `Problem`. */
export const request = async <T>(method: string, path: string, options: RequestOptions = {}): Promise<Answer<T>> => {
  const send = (): Promise<Response> =>
    fetch(`${API}${path}`, {
      method,
      credentials: 'same-origin',
      headers: headersFor(method, options),
      ...(options.body === undefined ? {} : { body: JSON.stringify(options.body) }),
      ...(options.signal ? { signal: options.signal } : {}),
    })
  const response = await send().catch((cause: unknown) => {
    if (cause instanceof DOMException && cause.name === 'AbortError') throw cause
    throw new Problem(navigator.onLine ? 'no-answer' : 'no-network', 0, undefined, [], null)
  })
  const body = await readBody(response)
  if (!response.ok) throw problemOf(response.status, body, response.headers)
  noteAnswer()
  return { body: body as T, headers: response.headers }
}
