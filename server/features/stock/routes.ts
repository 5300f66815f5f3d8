import type { FastifyInstance } from 'fastify'
import { route } from '#platform/http/route'
import { countLot } from './count-lot.js'
import { confirmProposal, refuseProposal } from './decide-proposal.js'
import { getStockAsOf, getStockProof, listMovements, listProposals } from './queries.js'
import { returnLot } from './return-lot.js'
import { reverseMovement } from './reverse-movement.js'
import { writeOffLot } from './write-off-lot.js'

export const stockRoutes = (app: FastifyInstance): void => {
  const tags = ['stock']
  route(app, 'GET', '/stock-movements', listMovements, {
    operationId: 'listStockMovements',
    tags,
    summary: 'The stock ledger, newest first',
  })
  route(app, 'POST', '/stock-movements/:id/reverse', reverseMovement, {
    operationId: 'reverseStockMovement',
    tags,
    summary: 'Take back a movement of a lot that was typed wrongly, once, while what it moved is still there',
    problems: ['wrong-state', 'stock-short'],
  })
  route(app, 'GET', '/stock-as-of', getStockAsOf, {
    operationId: 'getStockAsOf',
    tags,
    summary: 'What was on hand and set aside of each lot at a past moment, by when it happened and by when it was entered',
  })
  route(app, 'GET', '/stock-proof', getStockProof, {
    operationId: 'getStockProof',
    tags,
    summary: 'The sums of the ledger that must agree, computed afresh',
  })
  route(app, 'POST', '/lots/:id/count', countLot, {
    operationId: 'countLot',
    tags,
    summary: 'Enter what was counted of a lot; a large difference waits for a second person',
    problems: ['wrong-state', 'stock-short'],
  })
  route(app, 'POST', '/lots/:id/write-off', writeOffLot, {
    operationId: 'writeOffLot',
    tags,
    summary: 'Write off spoilt or spilled kilograms of a lot; many wait for a second person',
    problems: ['wrong-state', 'stock-short'],
  })
  route(app, 'POST', '/lots/:id/return', returnLot, {
    operationId: 'returnLot',
    tags,
    summary: 'Give kilograms of a lot back to its supplier',
    problems: ['wrong-state', 'stock-short'],
  })
  route(app, 'GET', '/stock-proposals', listProposals, {
    operationId: 'listStockProposals',
    tags,
    summary: 'Counts and write-offs that wait for a second person, or did',
  })
  route(app, 'POST', '/stock-proposals/:id/confirm', confirmProposal, {
    operationId: 'confirmStockProposal',
    tags,
    summary: 'Confirm a count or write-off that somebody else entered: now it moves',
    problems: ['self-approval', 'wrong-state', 'stock-short'],
  })
  route(app, 'POST', '/stock-proposals/:id/refuse', refuseProposal, {
    operationId: 'refuseStockProposal',
    tags,
    summary: 'Refuse a count or write-off that somebody else entered: nothing moves',
    problems: ['self-approval', 'wrong-state'],
  })
}
