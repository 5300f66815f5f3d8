import fc from 'fast-check'
import type { Example } from '../access-matrix/examples.js'
import type { Route } from '../../support/openapi.js'
import { HOSTILE_HEADERS, HOSTILE_JSON, HOSTILE_PARTS } from './hostile.js'
import { valuesOf, type Source } from './schema-values.js'

/** A request as it is sent: an address after the prefix, a body as text, headers besides those that every request has. */
export type FuzzRequest = {
  readonly address: string
  readonly body: string | undefined
  readonly headers: { readonly [name: string]: string }
}
type Place = readonly (string | number)[]

const HERE = '<here>'

const placesOf = (value: unknown, at: Place = []): Place[] => {
  if (typeof value !== 'object' || value === null) return [at]
  const inside = Array.isArray(value)
    ? value.flatMap((item, index) => placesOf(item, [...at, index]))
    : Object.entries(value).flatMap(([name, member]) => placesOf(member, [...at, name]))
  return [at, ...inside]
}

const withAt = (value: unknown, [step, ...rest]: Place, put: unknown): unknown => {
  if (step === undefined) return put
  if (Array.isArray(value)) return value.map((item: unknown, index) => (index === step ? withAt(item, rest, put) : item))
  const members = value as { readonly [name: string]: unknown }
  return { ...members, [step]: withAt(members[String(step)], rest, put) }
}

const without = (value: unknown, name: string): unknown =>
  typeof value === 'object' && value !== null && !Array.isArray(value)
    ? Object.fromEntries(Object.entries(value).filter(([member]) => member !== name))
    : value

/** One place of the body holds what should not be there, a field is missing, or one too many is there. */
const spoilt = (body: fc.Arbitrary<unknown>): fc.Arbitrary<string> =>
  fc
    .tuple(body, fc.nat(), fc.constantFrom(...HOSTILE_JSON), fc.constantFrom('replace', 'replace', 'replace', 'drop', 'add'))
    .map(([value, pick, hostile, how]) => {
      const places = placesOf(value)
      const place = places[pick % places.length] ?? []
      if (how === 'drop') return JSON.stringify(without(value, String(place[0] ?? '')))
      const changed = how === 'add' ? withAt(value, ['extra'], HERE) : withAt(value, place, HERE)
      return JSON.stringify(changed).replace(JSON.stringify(HERE), () => hostile)
    })

const bodiesOf = (route: Route, examples: readonly Example[], source: Source): fc.Arbitrary<string | undefined> => {
  const schema = route.requestBody?.content['application/json']?.schema
  if (schema === undefined) return route.method === 'GET' ? fc.constant(undefined) : fc.constantFrom(undefined, '{}', '{"a":1}', '[]', '{')
  const whole = fc.oneof(fc.constantFrom(...examples.map(({ body = {} }): unknown => body)), valuesOf(schema, source))
  const asText = whole.map((value) => JSON.stringify(value))
  return fc.oneof(
    { weight: 4, arbitrary: asText },
    { weight: 5, arbitrary: spoilt(whole) },
    { weight: 1, arbitrary: fc.constantFrom('', '{', 'null', '[]', '"x"', '1e400', `{"__proto__":{}}`, '[{}]') },
  )
}

const textOf = (value: unknown): string => (typeof value === 'string' ? value : (JSON.stringify(value) ?? ''))
const encoded = (text: string): string => {
  try {
    return encodeURIComponent(text)
  } catch {
    // Half a surrogate pair.
    return '%ED%A0%80'
  }
}

const queriesOf = (route: Route, examples: readonly Example[], source: Source): fc.Arbitrary<string> => {
  const fields = route.parameters.filter((parameter) => parameter.in === 'query')
  const given = fc.constantFrom(...examples.map(({ query = {} }) => new URLSearchParams(query).toString()))
  if (fields.length === 0)
    return fc.oneof({ weight: 6, arbitrary: given }, { weight: 1, arbitrary: fc.constantFrom('a=1', '__proto__=1', '%00') })
  const pairs = fields.map(({ name, schema }) =>
    fc
      .oneof(
        { weight: 2, arbitrary: valuesOf(schema, source, name).map((value) => encoded(textOf(value))) },
        { weight: 1, arbitrary: fc.constantFrom(...HOSTILE_PARTS) },
      )
      .map((value) => `${name}=${value}`),
  )
  const some = fc.uniqueArray(fc.nat({ max: pairs.length - 1 }), { minLength: 0, maxLength: 3 })
  const made = some.chain((indexes) => fc.tuple(...indexes.map((index) => pairs[index] ?? fc.constant('')))).map((parts) => parts.join('&'))
  const oneBad = fc.tuple(given, made).map(([first, second]) => [first, second].filter((part) => part !== '').join('&'))
  return fc.oneof({ weight: 2, arbitrary: given }, { weight: 5, arbitrary: made }, { weight: 1, arbitrary: oneBad })
}

const idsOf = (examples: readonly Example[]): fc.Arbitrary<string> =>
  fc.oneof(
    { weight: 6, arbitrary: fc.constantFrom(...examples.map(({ id = '' }) => encoded(id))) },
    { weight: 1, arbitrary: fc.uuid({ version: 7 }) },
    { weight: 1, arbitrary: fc.constantFrom(...HOSTILE_PARTS) },
  )

const headersOf = (route: Route, examples: readonly Example[]): fc.Arbitrary<FuzzRequest['headers']> => {
  const takesRevision = route.parameters.some(({ name }) => name === 'if-match')
  const revisions = fc.constantFrom(...examples.map(({ revision = 1 }) => `"${revision}"`), '"1"', '"2"')
  const ifMatch = fc.oneof({ weight: 6, arbitrary: revisions }, { weight: 1, arbitrary: fc.constantFrom(...HOSTILE_HEADERS) })
  const key = fc.oneof({ weight: 9, arbitrary: fc.uuid() }, { weight: 1, arbitrary: fc.constantFrom(...HOSTILE_HEADERS) })
  return fc.record({
    ...(takesRevision && { 'if-match': ifMatch }),
    ...(route.method !== 'GET' && { 'idempotency-key': key }),
  }) as fc.Arbitrary<FuzzRequest['headers']>
}

/** Requests of one route: as they should be, at the limits, of wrong types and hostile ones; mostly with one thing wrong at a time. */
export const requestsOf = (route: Route, examples: readonly Example[], source: Source): fc.Arbitrary<FuzzRequest> =>
  fc
    .record({
      id: idsOf(examples),
      query: queriesOf(route, examples, source),
      body: bodiesOf(route, examples, source),
      headers: headersOf(route, examples),
    })
    .map(({ id, query, body, headers }) => ({
      address: `${route.path.replace('{id}', () => id)}${query === '' ? '' : `?${query}`}`,
      body,
      headers,
    }))
