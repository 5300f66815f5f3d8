import type { FastifyInstance } from 'fastify'
import { route } from '#platform/http/route'
import { MAX_IMPORT_BYTES } from '#contract/laboratory'
import { checkImport } from './check-import.js'
import { importAssays } from './import-assays.js'
import { listLateResults, showUsedLot } from './late-results.js'
import { listAssays } from './queries.js'
import { recordAssays } from './record-assays.js'
import { recordSamples } from './record-samples.js'
import { listSamplesDue } from './samples-due.js'

export const laboratoryRoutes = (app: FastifyInstance): void => {
  const tags = ['laboratory']
  route(app, 'GET', '/assays', listAssays, { operationId: 'listAssays', tags, summary: 'Results of the laboratory, newest first' })
  route(app, 'POST', '/lots/:id/assays', recordAssays, {
    operationId: 'recordAssays',
    tags,
    summary: 'Record the results of one sample, all or none; facts, so in every state of the lot',
    problems: ['wrong-state'],
  })
  route(app, 'GET', '/samples-due', listSamplesDue, {
    operationId: 'listSamplesDue',
    tags,
    summary: 'Samples that wait for the laboratory, oldest first, with what waits for them',
  })
  route(app, 'POST', '/samples', recordSamples, {
    operationId: 'recordSamples',
    tags,
    summary: 'Record one method over many samples, all rows or none',
  })
  route(app, 'GET', '/lots/:id/batches', showUsedLot, {
    operationId: 'showUsedLot',
    tags,
    summary: 'The loads that hold a lot, each checked with what is believed of the lot now',
  })
  route(app, 'GET', '/late-results', listLateResults, {
    operationId: 'listLateResults',
    tags,
    summary: 'Lots of which a result came after they were used, with those loads checked again',
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
