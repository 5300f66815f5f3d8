import type { FastifyInstance } from 'fastify'
import { route } from '#platform/http/route'
import { closeDiscrepancy, listDiscrepancies } from './discrepancies.js'
import { showHome } from './home.js'

export const reportsFeature = (app: FastifyInstance): void => {
  route(app, 'GET', '/home', showHome, {
    operationId: 'showHome',
    tags: ['reports'],
    summary: 'What the one who is signed in must know on opening',
  })
  route(app, 'GET', '/discrepancies', listDiscrepancies, {
    operationId: 'listDiscrepancies',
    tags: ['reports'],
    summary: 'Facts that disagree with the books or the rules',
  })
  route(app, 'POST', '/discrepancies/:id/close', closeDiscrepancy, {
    operationId: 'closeDiscrepancy',
    tags: ['reports'],
    summary: 'Close a discrepancy with the reason that was found',
    problems: ['wrong-state'],
  })
}
