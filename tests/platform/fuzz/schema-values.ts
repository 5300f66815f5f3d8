import fc from 'fast-check'
import { newId } from '#platform/new-id'
import type { JsonSchema } from '../../support/openapi.js'

/** Things that exist, by the name of the field that asks for one. */
export type Known = { readonly [field: string]: readonly string[] }
export type Source = { readonly schemas: { readonly [name: string]: JsonSchema }; readonly known: Known }
type Values = fc.Arbitrary<unknown>

const asSchema = (value: unknown): JsonSchema => (typeof value === 'object' && value !== null ? (value as JsonSchema) : {})
const asList = (value: unknown): JsonSchema[] => (Array.isArray(value) ? value.map(asSchema) : [])
const asNumber = (value: unknown): number | undefined => (typeof value === 'number' ? value : undefined)

const DAY_MS = 86_400_000
const near = fc.integer({ min: -40, max: 70 }).map((days) => new Date(Date.now() + days * DAY_MS).toISOString())

const stringsOf = (schema: JsonSchema, known: readonly string[] | undefined): fc.Arbitrary<string> => {
  const { format, pattern } = schema
  if (known !== undefined)
    return fc.oneof({ weight: 4, arbitrary: fc.constantFrom(...known) }, { weight: 1, arbitrary: fc.constant(newId()) })
  if (format === 'uuid') return fc.constant(newId())
  if (format === 'date') return near.map((instant) => instant.slice(0, 10))
  if (format === 'date-time') return near
  if (typeof pattern === 'string' && pattern.includes('\\d')) return fc.stringMatching(new RegExp(pattern))
  const minLength = asNumber(schema['minLength']) ?? 0
  const maxLength = asNumber(schema['maxLength']) ?? 60
  // At the limits, and ordinary; a grapheme can be several characters, so some are longer than they say.
  return fc.oneof(
    fc.string({ minLength, maxLength: Math.min(maxLength, 40), unit: 'grapheme' }),
    fc.constantFrom(minLength, maxLength, maxLength + 1, Math.max(0, minLength - 1)).map((length) => 'x'.repeat(length)),
  )
}

const numbersOf = (schema: JsonSchema, whole: boolean): fc.Arbitrary<number> => {
  const min = asNumber(schema['minimum']) ?? asNumber(schema['exclusiveMinimum']) ?? -1_000
  const max = Math.min(asNumber(schema['maximum']) ?? 100_000, 2 ** 53)
  const inside = whole ? fc.integer({ min: Math.ceil(min), max: Math.floor(max) }) : fc.double({ min, max, noNaN: true })
  return fc.oneof({ weight: 3, arbitrary: inside }, { weight: 1, arbitrary: fc.constantFrom(min, max, min - 1, max + 1, 0) })
}

const objectsOf = (schema: JsonSchema, source: Source, depth: number): Values => {
  const fields = Object.entries(asSchema(schema['properties']))
  const required = Array.isArray(schema['required']) ? schema['required'].map(String) : []
  const model = Object.fromEntries(fields.map(([name, field]) => [name, valuesOf(asSchema(field), source, name, depth + 1)]))
  return fc.record(model, { requiredKeys: required.filter((name) => name in model) })
}

/** Values that a schema of the document allows, mostly: at the limits some are just outside. */
export const valuesOf = (schema: JsonSchema, source: Source, name = '', depth = 0): Values => {
  const ref = schema['$ref']
  if (typeof ref === 'string') return valuesOf(source.schemas[ref.replace('#/components/schemas/', '')] ?? {}, source, name, depth)
  if ('const' in schema) return fc.constant(schema['const'])
  const { enum: words } = schema
  if (Array.isArray(words)) return fc.constantFrom(...(words as unknown[]))
  const choices = asList(schema['anyOf'] ?? schema['oneOf'])
  if (choices.length > 0) return fc.oneof(...choices.map((choice) => valuesOf(choice, source, name, depth)))
  switch (schema['type']) {
    case 'string':
      return stringsOf(schema, source.known[name])
    case 'integer':
      return numbersOf(schema, true)
    case 'number':
      return numbersOf(schema, false)
    case 'boolean':
      return fc.boolean()
    case 'null':
      return fc.constant(null)
    case 'array': {
      const minLength = asNumber(schema['minItems']) ?? 0
      return fc.array(valuesOf(asSchema(schema['items']), source, name, depth + 1), { minLength, maxLength: Math.max(minLength, 4) })
    }
    case 'object':
      return objectsOf(schema, source, depth)
    default:
      return fc.jsonValue({ maxDepth: 2 })
  }
}
