import type { FastifyInstance } from 'fastify'
import { route } from '#platform/http/route'
import { createSupplier } from './create-supplier.js'
import { getSupplier, listSuppliers } from './queries.js'

export const supplierRoutes = (app: FastifyInstance): void => {
  const tags = ['suppliers']
  route(app, 'GET', '/suppliers', listSuppliers, { operationId: 'listSuppliers', tags, summary: 'Who delivers to the mill' })
  route(app, 'POST', '/suppliers', createSupplier, {
    operationId: 'createSupplier',
    tags,
    summary: 'Add a supplier',
    problems: ['already-exists'],
  })
  route(app, 'GET', '/suppliers/:id', getSupplier, { operationId: 'getSupplier', tags, summary: 'One supplier' })
}
