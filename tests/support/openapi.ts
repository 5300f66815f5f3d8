import type { FastifyInstance } from 'fastify'
import { z } from 'zod'

const Schema = z.record(z.string(), z.unknown())
const Content = z.record(z.string(), z.object({ schema: Schema }))
const Operation = z.object({
  operationId: z.string(),
  summary: z.string(),
  'x-roles': z.union([z.string(), z.array(z.string())]),
  'x-problem-codes': z.array(z.string()),
  parameters: z.array(z.object({ name: z.string(), in: z.string(), required: z.boolean().optional(), schema: Schema })).default([]),
  requestBody: z.object({ content: Content }).optional(),
  responses: z.record(z.string(), z.object({ description: z.string(), content: Content.optional() })),
})
const Document = z.object({
  openapi: z.string(),
  paths: z.record(z.string(), z.record(z.string(), Operation)),
  components: z.object({ schemas: z.record(z.string(), Schema) }),
})

export type JsonSchema = z.infer<typeof Schema>
export type Method = 'GET' | 'POST' | 'PUT' | 'PATCH' | 'DELETE'
export type Route = z.infer<typeof Operation> & {
  /** `POST /lots/{id}/release`, without the prefix of the API. */
  readonly name: string
  readonly method: Method
  readonly path: string
}
export type OpenApi = { readonly routes: readonly Route[]; readonly schemas: { readonly [name: string]: JsonSchema } }

const PREFIX = '/api/v1'

/** Any document of that kind as a list of routes. */
export const readOpenApi = (text: string): OpenApi => {
  const { paths, components } = Document.parse(JSON.parse(text))
  const routes = Object.entries(paths).flatMap(([address, operations]) =>
    Object.entries(operations).map(([verb, operation]): Route => {
      const path = address.replace(PREFIX, '')
      const method = verb.toUpperCase() as Method
      return { ...operation, name: `${method} ${path}`, method, path }
    }),
  )
  return { routes, schemas: components.schemas }
}

/** The document as the application gives it out. */
export const servedOpenApi = async (app: FastifyInstance): Promise<OpenApi> => readOpenApi((await app.inject('/api/openapi.json')).body)
