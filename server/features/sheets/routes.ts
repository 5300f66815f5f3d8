import type { FastifyInstance } from 'fastify'
import { route } from '#platform/http/route'
import { issueSheets } from './issue-sheets.js'
import { getSheet, getSheetPaper, listSheets, printSheets } from './queries.js'
import { spoilSheet } from './spoil-sheet.js'

export const sheetRoutes = (app: FastifyInstance): void => {
  const tags = ['blank-sheets']
  route(app, 'GET', '/blank-sheets', listSheets, {
    operationId: 'listBlankSheets',
    tags,
    summary: 'Numbered blank sheets for power cuts, and what became of each',
  })
  route(app, 'GET', '/blank-sheets/:id', getSheet, { operationId: 'getBlankSheet', tags, summary: 'One blank sheet' })
  route(app, 'POST', '/blank-sheets', issueSheets, {
    operationId: 'issueBlankSheets',
    tags,
    summary: 'Take numbers for blank sheets of one kind, to be printed ahead',
  })
  route(app, 'POST', '/blank-sheets/:id/spoil', spoilSheet, {
    operationId: 'spoilBlankSheet',
    tags,
    summary: 'Say why a blank sheet will never be entered',
    problems: ['wrong-state'],
  })
  route(app, 'GET', '/sheet-bundles/:id', getSheetPaper, {
    operationId: 'getBlankSheetPaper',
    tags,
    summary: 'The sheets that were printed together as a model, for the print view',
  })
  route(app, 'GET', '/sheet-bundles/:id/sheets.pdf', printSheets, {
    operationId: 'printBlankSheets',
    tags,
    summary: 'The sheets that were printed together, to print',
  })
}
