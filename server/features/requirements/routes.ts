import type { FastifyInstance } from 'fastify'
import { route } from '#platform/http/route'
import { getMill, listCoccidiostats, listRequirements, listSafetyRules, listStages } from './queries.js'

export const requirementRoutes = (app: FastifyInstance): void => {
  route(app, 'GET', '/mill', getMill, { operationId: 'getMill', tags: ['mill'], summary: 'The mill: name, place, phone, currency, bag' })
  const tags = ['requirements']
  route(app, 'GET', '/requirements', listRequirements, {
    operationId: 'listRequirements',
    tags,
    summary: 'Nutrient limits by stage, each with its source',
  })
  route(app, 'GET', '/stages', listStages, { operationId: 'listStages', tags, summary: 'The stages that the requirement tables know' })
  route(app, 'GET', '/safety-rules', listSafetyRules, {
    operationId: 'listSafetyRules',
    tags,
    summary: 'The rules of the safety checks, each with its source',
  })
  route(app, 'GET', '/coccidiostats', listCoccidiostats, {
    operationId: 'listCoccidiostats',
    tags,
    summary: 'Authorised uses of coccidiostats',
  })
}
