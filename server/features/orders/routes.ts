import type { FastifyInstance } from 'fastify'
import { route } from '#platform/http/route'
import { cancelOrder } from './cancel-order.js'
import { listOffers } from './offers.js'
import { placeOrder } from './place-order.js'
import { getOrder, listOrders } from './queries.js'

export const orderRoutes = (app: FastifyInstance): void => {
  const tags = ['orders']
  route(app, 'GET', '/offers', listOffers, {
    operationId: 'listOffers',
    tags,
    summary: 'What each flock is offered: the approved feeds, which one suits its age, how much and when',
  })
  route(app, 'GET', '/orders', listOrders, { operationId: 'listOrders', tags, summary: 'The orders; a member sees only their own' })
  route(app, 'POST', '/orders', placeOrder, {
    operationId: 'placeOrder',
    tags,
    summary: 'Order so many kilograms of a feed for a flock by a date',
    problems: ['flock-unknown', 'formula-not-approved', 'safety-block'],
  })
  route(app, 'GET', '/orders/:id', getOrder, {
    operationId: 'getOrder',
    tags,
    summary: 'One order; for staff with its mix, cost and loads',
  })
  route(app, 'POST', '/orders/:id/cancel', cancelOrder, {
    operationId: 'cancelOrder',
    tags,
    summary: 'Cancel an order before anything was weighed; its reserved stock is free again',
    problems: ['wrong-state'],
  })
}
