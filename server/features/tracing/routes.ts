import type { FastifyInstance } from 'fastify'
import { route } from '#platform/http/route'
import { trace } from './queries.js'

export const tracingFeature = (app: FastifyInstance): void => {
  route(app, 'GET', '/trace', trace, {
    operationId: 'trace',
    tags: ['tracing'],
    summary: 'Where a lot, load, order, supplier or member leads, forward and back',
    problems: ['not-found'],
  })
}
