import type { FastifyInstance } from 'fastify'
import { route } from '#platform/http/route'
import { addLotPhoto } from './add-photo.js'
import { correctReceipt } from './correct-receipt.js'
import { makeLot } from './derive-lot.js'
import { undoMaking } from './derive-undo.js'
import { getLotPhoto } from './photos.js'
import { getLotPapers, printSampleLabel, printStackCard } from './print-papers.js'
import { getLot, listLots } from './queries.js'
import { addRequiredTest } from './add-required-test.js'
import { holdLot } from './hold-lot.js'
import { limitLot } from './limit-lot.js'
import { receiveLot } from './receive-lot.js'
import { rejectLot } from './reject-lot.js'
import { releaseLot } from './release-lot.js'
import { removeRequiredTest } from './remove-required-test.js'
import { showTestMatrix } from './required-tests.js'

export const lotRoutes = (app: FastifyInstance): void => {
  const tags = ['lots']
  route(app, 'GET', '/lots', listLots, { operationId: 'listLots', tags, summary: 'Delivered lots, newest first' })
  route(app, 'POST', '/lots', receiveLot, {
    operationId: 'receiveLot',
    tags,
    summary: 'Record a delivered lot; it starts on hold',
    problems: ['ingredient-unknown', 'supplier-unknown', 'wrong-state'],
  })
  route(app, 'POST', '/lots/made', makeLot, {
    operationId: 'makeLot',
    tags,
    summary: 'Grind, dry or heap lots in a bin: they become one lot that knows its parents',
    problems: ['lot-not-released', 'lot-expired', 'stock-short'],
  })
  route(app, 'POST', '/lots/:id/undo-making', undoMaking, {
    operationId: 'undoMaking',
    tags,
    summary: 'Take a made lot back into its parents while nothing of it was used',
    problems: ['not-found', 'wrong-state'],
  })
  route(app, 'GET', '/lots/:id', getLot, {
    operationId: 'getLot',
    tags,
    summary: 'One lot: results, what is believed of it, what stands against its release',
  })
  route(app, 'POST', '/lots/:id/correct-receipt', correctReceipt, {
    operationId: 'correctReceipt',
    tags,
    summary: 'Enter a delivery again that was typed wrongly, while nothing rests on it',
    problems: ['ingredient-unknown', 'supplier-unknown', 'wrong-state', 'stock-short'],
  })
  route(app, 'POST', '/lots/:id/photos', addLotPhoto, { operationId: 'addLotPhoto', tags, summary: 'Keep a photo of a lot' })
  route(app, 'GET', '/lot-photos/:id', getLotPhoto, { operationId: 'getLotPhoto', tags, summary: 'One photo of a lot, a JPEG' })
  route(app, 'GET', '/lots/:id/papers', getLotPapers, {
    operationId: 'getLotPapers',
    tags,
    summary: 'Stack card and sample label as models, for the print view',
  })
  route(app, 'GET', '/lots/:id/stack-card.pdf', printStackCard, { operationId: 'printStackCard', tags, summary: 'The stack card to print' })
  route(app, 'GET', '/lots/:id/sample-label.pdf', printSampleLabel, {
    operationId: 'printSampleLabel',
    tags,
    summary: 'The sample labels to print',
  })
  route(app, 'POST', '/lots/:id/release', releaseLot, {
    operationId: 'releaseLot',
    tags,
    summary: 'Release a lot for mixing',
    problems: ['lot-not-on-hold', 'safety-block', 'wrong-state'],
  })
  route(app, 'POST', '/lots/:id/limit', limitLot, {
    operationId: 'limitLot',
    tags,
    summary: 'Let a released lot into the feed of some stages only',
    problems: ['wrong-state'],
  })
  route(app, 'POST', '/lots/:id/hold', holdLot, {
    operationId: 'holdLot',
    tags,
    summary: 'Put a lot on hold, until a day where that is needed (fumigation)',
    problems: ['wrong-state'],
  })
  route(app, 'GET', '/required-tests', showTestMatrix, {
    operationId: 'showTestMatrix',
    tags,
    summary: 'What must have been tested before a lot is released, by ingredient and hazard',
  })
  route(app, 'POST', '/required-tests', addRequiredTest, {
    operationId: 'addRequiredTest',
    tags,
    summary: 'Ask for one more test of an ingredient before its lots are released',
    problems: ['ingredient-unknown', 'already-exists'],
  })
  route(app, 'POST', '/required-tests/:id/remove', removeRequiredTest, {
    operationId: 'removeRequiredTest',
    tags,
    summary: 'Take back a test that the mill itself asked for',
    problems: ['wrong-state'],
  })
  route(app, 'POST', '/lots/:id/reject', rejectLot, {
    operationId: 'rejectLot',
    tags,
    summary: 'Reject a lot, on hold or released',
    problems: ['wrong-state'],
  })
}
