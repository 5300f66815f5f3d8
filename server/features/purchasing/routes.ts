import type { FastifyInstance } from 'fastify'
import { route } from '#platform/http/route'
import { noteOffer } from './note-offer.js'
import { getOffer, listOffers } from './queries.js'
import { withdrawOffer } from './withdraw-offer.js'

export const purchasingRoutes = (app: FastifyInstance): void => {
  const tags = ['purchasing']
  route(app, 'GET', '/supplier-offers', listOffers, {
    operationId: 'listSupplierOffers',
    tags,
    summary: 'What suppliers offer to sell: standing, expired and withdrawn offers',
  })
  route(app, 'GET', '/supplier-offers/:id', getOffer, { operationId: 'getSupplierOffer', tags, summary: 'One offer of a supplier' })
  route(app, 'POST', '/supplier-offers', noteOffer, {
    operationId: 'noteSupplierOffer',
    tags,
    summary: 'Note what a supplier offers; an offer is not edited later',
    problems: ['ingredient-unknown', 'supplier-unknown'],
  })
  route(app, 'POST', '/supplier-offers/:id/withdraw', withdrawOffer, {
    operationId: 'withdrawSupplierOffer',
    tags,
    summary: 'Withdraw an offer, so that nothing is bought from it',
    problems: ['wrong-state'],
  })
}
