import type { FastifyInstance } from 'fastify'
import { route } from '#platform/http/route'
import { collectOrder } from './collect-order.js'

export const deliveryFeature = (app: FastifyInstance): void => {
  route(app, 'POST', '/orders/:id/collect', collectOrder, {
    operationId: 'collectOrder',
    tags: ['orders'],
    summary: "Hand over an order against the member's code",
    problems: ['wrong-state', 'wrong-code', 'stock-short', 'safety-block'],
  })
}
