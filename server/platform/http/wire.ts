import { MillError } from '#core/errors'

// Deeper than any form of ours, shallow enough to walk without exhausting the stack.
const MAX_DEPTH = 32
const MAX_STRING = 100_000

const refuse = (path: string, code: string, message: string): never => {
  throw new MillError('bad-input', {}, [{ path, code, message }])
}

// A lone half of a surrogate pair: no character, and not UTF-8.
const LONE_SURROGATE = /[\uD800-\uDBFF](?![\uDC00-\uDFFF])|(?<![\uD800-\uDBFF])[\uDC00-\uDFFF]/

const checkString = (value: string, path: string): void => {
  // PostgreSQL stores no U+0000.
  if (value.includes('\u0000')) refuse(path, 'character', 'the character U+0000 is not allowed')
  if (LONE_SURROGATE.test(value)) refuse(path, 'character', 'half a surrogate pair is not a character')
  if (value.length > MAX_STRING) refuse(path, 'too_big', `at most ${MAX_STRING} characters`)
}

const FORBIDDEN_NAMES: ReadonlySet<string> = new Set(['__proto__', 'constructor', 'prototype'])

const step = (path: string, name: string): string => (path === '' ? name : `${path}.${name}`)

/** Refuses text that no table can hold, names that reach into objects, and nesting without end; names the field. */
export const checkWire = (value: unknown, path = '', depth = 0): void => {
  if (typeof value === 'string') return checkString(value, path)
  if (typeof value !== 'object' || value === null) return
  if (depth >= MAX_DEPTH) refuse(path, 'too_deep', `at most ${MAX_DEPTH} levels`)
  for (const [name, member] of Object.entries(value)) {
    if (FORBIDDEN_NAMES.has(name)) refuse(step(path, name), 'unrecognized_keys', 'there is no such field here')
    checkString(name, path)
    checkWire(member, step(path, name), depth + 1)
  }
}

/** Parses a JSON body; none at all is an empty object. */
export const parseBody = (text: string): unknown => {
  if (text.trim() === '') return {}
  let value: unknown
  try {
    value = JSON.parse(text)
  } catch {
    return refuse('', 'invalid_json', 'the body is not JSON')
  }
  checkWire(value)
  return value
}
