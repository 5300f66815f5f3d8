import type { FastifyInstance } from 'fastify'
import { route } from '#platform/http/route'
import { cancelRest } from './cancel-rest.js'
import { finishBatch } from './finish-batch.js'
import { holdBatch, releaseHold } from './hold-batch.js'
import { getBatch, getBatchSheet, listBatches, printBatchSheet } from './queries.js'
import { recordWeighing } from './record-weighing.js'
import { startBatch } from './start-batch.js'
import { writeOffBatch } from './write-off-batch.js'

export const productionFeature = (app: FastifyInstance): void => {
  const tags = ['batches']
  route(app, 'GET', '/batches', listBatches, { operationId: 'listBatches', tags, summary: 'The loads of the mixers' })
  route(app, 'GET', '/batches/:id', getBatch, { operationId: 'getBatch', tags, summary: 'One load with its rows and weights' })
  route(app, 'GET', '/batches/:id/sheet', getBatchSheet, {
    operationId: 'getBatchSheet',
    tags,
    summary: 'The batch sheet as a model, for the print view',
  })
  route(app, 'GET', '/batches/:id/sheet.pdf', printBatchSheet, {
    operationId: 'printBatchSheet',
    tags,
    summary: 'The batch sheet to print',
  })
  route(app, 'POST', '/batches/:id/start', startBatch, {
    operationId: 'startBatch',
    tags,
    summary: 'Begin to weigh a load: its lots and the mixer are checked',
    problems: ['wrong-state', 'safety-block'],
  })
  route(app, 'POST', '/batches/:id/weighings', recordWeighing, {
    operationId: 'recordWeighing',
    tags,
    summary: 'Record what one row really weighed; the answer says when it is outside its range',
    problems: ['wrong-state'],
  })
  route(app, 'POST', '/batches/:id/finish', finishBatch, {
    operationId: 'finishBatch',
    tags,
    summary: 'The load is mixed and bagged: stock is issued, bags are made',
    problems: ['wrong-state'],
  })
  route(app, 'POST', '/batches/:id/hold', holdBatch, {
    operationId: 'holdBatch',
    tags,
    summary: 'Hold a load back',
    problems: ['wrong-state'],
  })
  route(app, 'POST', '/batches/:id/release-hold', releaseHold, {
    operationId: 'releaseHold',
    tags,
    summary: 'Let a held load go on',
    problems: ['wrong-state'],
  })
  route(app, 'POST', '/batches/:id/write-off', writeOffBatch, {
    operationId: 'writeOffBatch',
    tags,
    summary: 'Write off the bags of a load that may not be handed over',
    problems: ['wrong-state', 'stock-short'],
  })
  route(app, 'POST', '/orders/:id/cancel-rest', cancelRest, {
    operationId: 'cancelRest',
    tags: ['orders'],
    summary: 'Deliver what is made and cancel the loads that nobody began',
    problems: ['wrong-state'],
  })
}
