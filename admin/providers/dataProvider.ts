import { HttpError, type DataProvider, type Identifier, type RaRecord, type UpdateParams } from 'react-admin'
import type { Translate } from '../i18n/translate'
import { orLastSeen } from '../outbox/lastSeen'
import { newKey, Problem, request, type Answer, type RequestOptions } from './http'

/** What a page may hand over in `meta`: the key made when its form opened, and a revision when the record has none. */
export type WriteMeta = { readonly idempotencyKey?: string; readonly revision?: number }

export type MillDataProvider = DataProvider & {
  /** Every other command of the mill: `act('POST', '/lots/ID/release', body, { idempotencyKey, revision })`. */
  act: <T>(
    method: 'GET' | 'POST' | 'PATCH' | 'PUT' | 'DELETE',
    path: string,
    body?: unknown,
    options?: Omit<RequestOptions, 'body'>,
  ) => Promise<T>
}

/** Words for a fault of one field: our own sentence for its code, else what the mill says. */
const fieldWords = (t: Translate<string>, { code, message }: { code: string; message: string }): string => {
  const key = `problem.${code}`
  const words = t(key)
  return words === key ? message : words
}

/** A problem document as react-admin's forms want it: `body.errors` by field, the whole problem kept beside it. */
const toHttpError = (problem: Problem, t: Translate<string>): HttpError => {
  const words = t(`problem.${problem.code}`)
  const errors = Object.fromEntries(problem.fields.map((field) => [field.path, fieldWords(t, field)]))
  const hasErrors = problem.fields.length > 0
  return new HttpError(words, problem.status, { problem, ...(hasErrors ? { errors: { ...errors, root: { serverError: words } } } : {}) })
}

/** The problem behind an error that a page caught, whichever way it came. */
export const problemOf = (error: unknown): Problem | undefined => {
  if (error instanceof Problem) return error
  const body: unknown = error instanceof HttpError ? error.body : undefined
  if (typeof body === 'object' && body !== null && 'problem' in body && body.problem instanceof Problem) return body.problem
  return undefined
}

type FilterValue = string | number | boolean | null | undefined | readonly string[]
type Filter = Readonly<Record<string, FilterValue>>

type ListParams = {
  pagination?: { page: number; perPage: number } | undefined
  sort?: { field: string; order: string } | undefined
  filter?: Filter | undefined
}

const listQuery = ({ pagination, sort, filter = {} }: ListParams): string => {
  const query = new URLSearchParams()
  if (pagination) {
    query.set('page', String(pagination.page))
    query.set('perPage', String(pagination.perPage))
  }
  if (sort && sort.field !== 'id') {
    query.set('sort', sort.field)
    query.set('order', sort.order.toLowerCase())
  }
  for (const [name, value] of Object.entries(filter)) {
    if (value === undefined || value === null || value === '') continue
    query.set(name, typeof value === 'object' ? value.join(',') : String(value))
  }
  return query.toString()
}

const revisionOf = (record: Partial<RaRecord> | undefined): number | undefined =>
  typeof record?.['revision'] === 'number' ? record['revision'] : undefined

/** The mill's REST: lists with `X-Total-Count`, writes with an idempotency key, changes with the revision that was read. */
export const makeDataProvider = (t: Translate<string>): MillDataProvider => {
  const send = async <T>(method: string, path: string, options: RequestOptions = {}): Promise<Answer<T>> => {
    try {
      const ask = () => request<T>(method, path, options)
      return await (method === 'GET' ? orLastSeen(path, ask) : ask())
    } catch (cause) {
      throw cause instanceof Problem ? toHttpError(cause, t) : cause
    }
  }
  const list = async (resource: string, params: ListParams, signal?: AbortSignal) => {
    const { body, headers } = await send<RaRecord[]>('GET', `/${resource}?${listQuery(params)}`, { signal })
    return { data: body as never[], total: Number(headers.get('x-total-count') ?? body.length) }
  }
  const one = (id: Identifier): string => encodeURIComponent(String(id))
  const refuse = (method: string): Promise<never> =>
    Promise.reject(new Error(`${method}: the mill has one command for each act, use dataProvider.act`))
  return {
    supportAbortSignal: true,
    getList: (resource, params) => list(resource, { ...params, filter: params.filter as Filter }, params.signal),
    getManyReference: (resource, params) =>
      list(resource, { ...params, filter: { ...(params.filter as Filter), [params.target]: params.id } }, params.signal),
    getMany: async (resource, { ids, signal }) => ({
      data: (await list(resource, { filter: { id: ids.join(',') }, pagination: { page: 1, perPage: Math.max(ids.length, 1) } }, signal))
        .data,
    }),
    getOne: async (resource, { id, signal }) => ({ data: (await send<never>('GET', `/${resource}/${one(id)}`, { signal })).body }),
    create: async (resource, { data, meta }) => ({
      data: (
        await send<never>('POST', `/${resource}`, {
          body: data,
          idempotencyKey: (meta as WriteMeta | undefined)?.idempotencyKey ?? newKey(),
        })
      ).body,
    }),
    update: async (resource, { id, data, previousData, meta }: UpdateParams<RaRecord>) => ({
      data: (
        await send<never>('PATCH', `/${resource}/${one(id)}`, {
          body: data,
          idempotencyKey: (meta as WriteMeta | undefined)?.idempotencyKey ?? newKey(),
          revision: (meta as WriteMeta | undefined)?.revision ?? revisionOf(previousData),
        })
      ).body,
    }),
    updateMany: () => refuse('updateMany'),
    delete: () => refuse('delete'),
    deleteMany: () => refuse('deleteMany'),
    act: async (method, path, body, options = {}) =>
      (
        await send<never>(method, path, {
          ...options,
          body,
          ...(method === 'GET' ? {} : { idempotencyKey: options.idempotencyKey ?? newKey() }),
        })
      ).body,
  }
}
