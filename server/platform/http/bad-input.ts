import type { z } from 'zod'
import { MillError, type Fact, type Facts, type FieldError } from '#core/errors'

type Issue = z.core.$ZodIssue

const asFact = (value: unknown): Fact | undefined => {
  if (value === null || typeof value === 'string' || typeof value === 'boolean') return value
  if (typeof value === 'number') return Number.isFinite(value) ? value : String(value)
  if (typeof value === 'bigint') return value.toString()
  if (Array.isArray(value)) return value.map((item) => asFact(item) ?? String(item))
  return undefined
}

// The members of a zod issue that say what is allowed; the console builds its own sentence from them in the person's language.
const TOLD = ['expected', 'minimum', 'maximum', 'inclusive', 'exact', 'format', 'values', 'divisor'] as const

const allowedBy = (issue: Issue): Facts => {
  const facts: { [name: string]: Fact } = {}
  for (const name of TOLD) {
    const fact = name in issue ? asFact((issue as unknown as { [name: string]: unknown })[name]) : undefined
    if (fact !== undefined) facts[name] = fact
  }
  return facts
}

const pathOf = (path: readonly PropertyKey[]): string => path.map(String).join('.')

const fieldsOf = (issue: Issue): FieldError[] => {
  if (issue.code === 'unrecognized_keys') {
    return issue.keys.map((key) => ({ path: pathOf([...issue.path, key]), code: issue.code, message: 'there is no such field here' }))
  }
  return [{ path: pathOf(issue.path), code: issue.code, message: issue.message, facts: allowedBy(issue) }]
}

// A thousand wrong rows need not be told one by one.
const MAX_FIELDS = 50

/** The refusal that names every wrong field, from what zod found. */
export const badInput = (error: z.ZodError): MillError => {
  const fields = error.issues.flatMap(fieldsOf).slice(0, MAX_FIELDS)
  return new MillError('bad-input', {}, fields)
}
