import { useGetOne, type RaRecord } from 'react-admin'

/**
 * react-admin answers `getOne` first with the row of a list that has shown the thing, and a row has fewer fields than the thing has.
 * It looks for that row under the list's own meta; asked for with this one, a thing comes whole from the mill or not at all.
 */
export const WHOLE = { whole: true } as const

/** One thing with all its fields, never the row of a list in its place; `data` is undefined until the mill has answered. */
export const useWhole = <R extends RaRecord>(resource: string, id: string, options: { readonly enabled?: boolean } = {}) =>
  useGetOne<R>(resource, { id, meta: WHOLE }, options)
