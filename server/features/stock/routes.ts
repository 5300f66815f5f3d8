import type { FastifyInstance } from 'fastify'
import { route } from '#platform/http/route'
import { getStockProof, listMovements } from './queries.js'

export const stockRoutes = (app: FastifyInstance): void => {
  const tags = ['stock']
  route(app, 'GET', '/stock-movements', listMovements, {
    operationId: 'listStockMovements',
    tags,
    summary: 'The stock ledger, newest first',
  })
  route(app, 'GET', '/stock-proof', getStockProof, {
    operationId: 'getStockProof',
    tags,
    summary: 'The sums of the ledger that must agree, computed afresh',
  })
}
