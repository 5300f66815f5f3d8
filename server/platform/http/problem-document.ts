import { z } from 'zod'
import { PROBLEM_CODES, type MillError, type ProblemCode } from '#core/errors'
import { PROBLEMS } from './problems.js'

export const PROBLEM_TYPE = 'application/problem+json'

const Facts = z.record(z.string(), z.unknown())

/** RFC 9457, with our code, the request's id and the fields that are wrong. */
export const ProblemDocument = z
  .object({
    type: z.string(),
    title: z.string(),
    status: z.int(),
    code: z.enum(PROBLEM_CODES),
    requestId: z.string(),
    facts: Facts.optional(),
    errors: z.array(z.object({ path: z.string(), code: z.string(), message: z.string(), facts: Facts.optional() })).optional(),
  })
  .meta({ id: 'Problem' })
export type ProblemDocument = z.infer<typeof ProblemDocument>

// The one schema with fewer codes: said whole for every status of every route it would be most of the document.
const problemWith = (codes: readonly ProblemCode[]) => ProblemDocument.and(z.looseObject({ code: z.enum(codes) }))

const ofOneCode = new Map(PROBLEM_CODES.map((code) => [code, problemWith([code]).meta({ id: `Problem.${code}` })]))

const schemaFor = (codes: readonly ProblemCode[]) => {
  const [only, ...others] = codes
  return (others.length === 0 && only !== undefined && ofOneCode.get(only)) || problemWith(codes)
}

/** One schema a status, for the codes that a route can give. */
export const problemSchemas = (codes: readonly ProblemCode[]) => {
  const statuses = new Map<number, ProblemCode[]>()
  for (const code of codes) {
    const { status } = PROBLEMS[code]
    statuses.set(status, [...(statuses.get(status) ?? []), code])
  }
  return Object.fromEntries(
    [...statuses].map(([status, ofStatus]) => [
      status,
      {
        description: ofStatus.map((code) => `${code}: ${PROBLEMS[code].title}`).join('; '),
        content: { [PROBLEM_TYPE]: { schema: schemaFor(ofStatus) } },
      },
    ]),
  )
}

export const problemOf = (error: MillError, requestId: string): ProblemDocument => {
  const { status, title } = PROBLEMS[error.code]
  return {
    type: `urn:kinu:problem:${error.code}`,
    title,
    status,
    code: error.code,
    requestId,
    ...(Object.keys(error.facts).length > 0 && { facts: error.facts }),
    ...(error.fields.length > 0 && { errors: error.fields.map((field) => ({ ...field })) as NonNullable<ProblemDocument['errors']> }),
  }
}
