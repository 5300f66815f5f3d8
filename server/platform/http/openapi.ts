import swagger from '@fastify/swagger'
import swaggerUi from '@fastify/swagger-ui'
import type { FastifyInstance } from 'fastify'
import { jsonSchemaTransform, jsonSchemaTransformObject } from 'fastify-type-provider-zod'

/** OpenAPI 3.1 out of the routes' own schemas, at /api/openapi.json, with pages to read it at /api/docs. */
export const installOpenApi = async (app: FastifyInstance, version: string): Promise<void> => {
  await app.register(swagger, {
    openapi: {
      openapi: '3.1.0',
      info: {
        title: 'Kinu',
        description: "The feed mill of a poultry keepers' cooperative.",
        version,
        license: { name: 'GPL-3.0-or-later' },
      },
      components: {
        securitySchemes: {
          session: { type: 'apiKey', in: 'cookie', name: 'kinu', description: 'From POST /api/v1/session' },
          csrf: { type: 'apiKey', in: 'header', name: 'x-csrf-token', description: 'From the body of the session' },
        },
      },
    },
    transform: jsonSchemaTransform,
    transformObject: jsonSchemaTransformObject,
  })
  await app.register(swaggerUi, { routePrefix: '/api/docs', staticCSP: false })
  app.get('/api/openapi.json', { schema: { hide: true } }, async () => app.swagger())
}
