import type { FastifyInstance } from 'fastify'
import { route } from '#platform/http/route'
import { MAX_IMPORT_BYTES } from '#contract/laboratory'
import { checkImport } from './check-import.js'
import { importAssays } from './import-assays.js'
import { listAssays } from './queries.js'
import { recordAssays } from './record-assays.js'

export const laboratoryRoutes = (app: FastifyInstance): void => {
  const tags = ['laboratory']
  route(app, 'GET', '/assays', listAssays, { operationId: 'listAssays', tags, summary: 'Results of the laboratory, newest first' })
  route(app, 'POST', '/lots/:id/assays', recordAssays, {
    operationId: 'recordAssays',
    tags,
    summary: 'Record the results of one sample, all or none; facts, so in every state of the lot',
    problems: ['wrong-state'],
  })
  route(app, 'POST', '/assays/import/check', checkImport, {
    operationId: 'checkAssayImport',
    tags,
    summary: 'What would become of each row of a CSV file of results; nothing is kept',
    bodyLimit: MAX_IMPORT_BYTES,
  })
  route(app, 'POST', '/assays/import', importAssays, {
    operationId: 'importAssays',
    tags,
    summary: 'Record a CSV file of results as it was checked, all rows or none',
    bodyLimit: MAX_IMPORT_BYTES,
  })
}
