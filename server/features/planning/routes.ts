import type { FastifyInstance } from 'fastify'
import { route } from '#platform/http/route'
import { planOrder } from './plan-order.js'
import { getSolution } from './queries.js'
import { replanOrder } from './replan-order.js'

export const planningRoutes = (app: FastifyInstance): void => {
  const tags = ['planning']
  route(app, 'GET', '/orders/:id/solution', getSolution, {
    operationId: 'getOrderSolution',
    tags,
    summary: 'The mix that an order, or what of it nobody began, would get from the stock of now',
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
  route(app, 'POST', '/orders/:id/replan', replanOrder, {
    operationId: 'replanOrder',
    tags,
    summary: 'Plan the loads that nobody began again, from the stock of now',
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
