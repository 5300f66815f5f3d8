import type { FastifyInstance } from 'fastify'
import { route } from '#platform/http/route'
import { getLot, listLots } from './queries.js'
import { receiveLot } from './receive-lot.js'
import { rejectLot } from './reject-lot.js'
import { releaseLot } from './release-lot.js'

export const lotRoutes = (app: FastifyInstance): void => {
  const tags = ['lots']
  route(app, 'GET', '/lots', listLots, { operationId: 'listLots', tags, summary: 'Delivered lots, newest first' })
  route(app, 'POST', '/lots', receiveLot, {
    operationId: 'receiveLot',
    tags,
    summary: 'Record a delivered lot; it starts on hold',
    problems: ['ingredient-unknown', 'supplier-unknown'],
  })
  route(app, 'GET', '/lots/:id', getLot, {
    operationId: 'getLot',
    tags,
    summary: 'One lot: results, what is believed of it, what stands against its release',
  })
  route(app, 'POST', '/lots/:id/release', releaseLot, {
    operationId: 'releaseLot',
    tags,
    summary: 'Release a lot for mixing',
    problems: ['lot-not-on-hold', 'safety-block'],
  })
  route(app, 'POST', '/lots/:id/reject', rejectLot, {
    operationId: 'rejectLot',
    tags,
    summary: 'Reject a lot, on hold or released',
    problems: ['wrong-state'],
  })
}
