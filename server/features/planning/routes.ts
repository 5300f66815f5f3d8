import type { FastifyInstance } from 'fastify'
import { route } from '#platform/http/route'
import { planOrder } from './plan-order.js'
import { getSolution } from './queries.js'

export const planningRoutes = (app: FastifyInstance): void => {
  const tags = ['planning']
  route(app, 'GET', '/orders/:id/solution', getSolution, {
    operationId: 'getOrderSolution',
    tags,
    summary: 'The mix that an order would get from the stock of now',
    problems: ['formula-not-approved'],
  })
  route(app, 'POST', '/orders/:id/plan', planOrder, {
    operationId: 'planOrder',
    tags,
    summary: 'Solve an order, reserve its lots and make its batches',
    problems: [
      'wrong-state',
      'formula-not-approved',
      'order-infeasible',
      'safety-block',
      'solver-timeout',
      'stock-short',
      'lot-not-released',
      'lot-expired',
    ],
  })
}
