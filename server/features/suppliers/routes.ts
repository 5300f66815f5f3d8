import type { FastifyInstance } from 'fastify'
import { route } from '#platform/http/route'
import { createSupplier } from './create-supplier.js'
import { getSupplier, listSuppliers } from './queries.js'
import { listSupplierIngredients } from './supplier-ingredients.js'
import { getSupplierRecord } from './supplier-record.js'

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
  route(app, 'GET', '/suppliers/:id/record', getSupplierRecord, {
    operationId: 'getSupplierRecord',
    tags,
    summary: 'Whether a supplier is steady in one ingredient: protein and moisture lot by lot',
    problems: ['ingredient-unknown'],
  })
  route(app, 'GET', '/supplier-ingredients', listSupplierIngredients, {
    operationId: 'listSupplierIngredients',
    tags,
    summary: 'What a supplier delivered, by ingredient',
  })
}
