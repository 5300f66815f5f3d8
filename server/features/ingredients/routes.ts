import type { FastifyInstance } from 'fastify'
import { route } from '#platform/http/route'
import { getIngredient, listIngredients, listSources } from './queries.js'

export const ingredientRoutes = (app: FastifyInstance): void => {
  const tags = ['ingredients']
  route(app, 'GET', '/ingredients', listIngredients, {
    operationId: 'listIngredients',
    tags,
    summary: 'Ingredients with what is in store of each',
  })
  route(app, 'GET', '/ingredients/:id', getIngredient, {
    operationId: 'getIngredient',
    tags,
    summary: 'One ingredient with its book values, each with its source',
  })
  route(app, 'GET', '/sources', listSources, { operationId: 'listSources', tags, summary: 'The citations behind the source keys' })
}
