import type { FastifyInstance } from 'fastify'
import { route } from '#platform/http/route'
import { askGatePrice } from './queries.js'

export const gateRoutes = (app: FastifyInstance): void => {
  route(app, 'POST', '/gate-price', askGatePrice, {
    operationId: 'askGatePrice',
    tags: ['purchasing'],
    summary: 'What a truck at the gate is worth to the mill at most, without keeping anything',
    problems: ['ingredient-unknown', 'supplier-unknown'],
  })
}
