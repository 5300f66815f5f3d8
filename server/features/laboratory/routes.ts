import type { FastifyInstance } from 'fastify'
import { route } from '#platform/http/route'
import { listAssays } from './queries.js'
import { recordAssays } from './record-assays.js'

export const laboratoryRoutes = (app: FastifyInstance): void => {
  const tags = ['laboratory']
  route(app, 'GET', '/assays', listAssays, { operationId: 'listAssays', tags, summary: 'Results of the laboratory, newest first' })
  route(app, 'POST', '/lots/:id/assays', recordAssays, {
    operationId: 'recordAssays',
    tags,
    summary: 'Record the results of one sample, all or none; facts, so in every state of the lot',
    problems: ['wrong-state'],
  })
}
