import type { FastifyInstance } from 'fastify'
import { route } from '#platform/http/route'
import { approveVersion } from './approve-version.js'
import { changeVersion } from './change-version.js'
import { createFormula } from './create-formula.js'
import { createVersion } from './create-version.js'
import { henIntake } from './intake.js'
import {
  alternativesToLimits,
  assayWorthForLimits,
  curveOfLimits,
  explainLimits,
  getFormula,
  getVersion,
  listFormulas,
  solveLimits,
} from './queries.js'
import { submitVersion } from './submit-version.js'
import { withdrawVersion } from './withdraw-version.js'

export const formulaRoutes = (app: FastifyInstance): void => {
  const tags = ['formulas']
  route(app, 'GET', '/formulas', listFormulas, { operationId: 'listFormulas', tags, summary: 'The formulas with their versions' })
  route(app, 'POST', '/formulas', createFormula, {
    operationId: 'createFormula',
    tags,
    summary: 'Begin a formula from a published requirement set',
    problems: ['already-exists'],
  })
  route(app, 'GET', '/formulas/:id', getFormula, { operationId: 'getFormula', tags, summary: 'One formula with its versions' })
  route(app, 'POST', '/formulas/:id/versions', createVersion, {
    operationId: 'createFormulaVersion',
    tags,
    summary: 'Begin a new draft from the last version',
    problems: ['already-exists'],
  })
  route(app, 'GET', '/formula-versions/:id', getVersion, {
    operationId: 'getFormulaVersion',
    tags,
    summary: 'One version: its limits, where they come from, and what the safety checks say',
  })
  route(app, 'PATCH', '/formula-versions/:id', changeVersion, {
    operationId: 'changeFormulaVersion',
    tags,
    summary: 'Change the limits of a draft',
    problems: ['formula-not-draft', 'ingredient-unknown'],
  })
  route(app, 'POST', '/formula-versions/:id/submit', submitVersion, {
    operationId: 'submitFormulaVersion',
    tags,
    summary: 'Hand a draft in for approval; it does not change from then on',
    problems: ['formula-not-draft', 'safety-block'],
  })
  route(app, 'POST', '/formula-versions/:id/approve', approveVersion, {
    operationId: 'approveFormulaVersion',
    tags,
    summary: 'Approve a submitted version with the password; the one before is withdrawn',
    problems: ['formula-not-submitted', 'self-approval', 'wrong-password', 'safety-block', 'formula-infeasible', 'solver-timeout'],
  })
  route(app, 'POST', '/formula-versions/:id/withdraw', withdrawVersion, {
    operationId: 'withdrawFormulaVersion',
    tags,
    summary: 'Take a version out of use, with the reason',
    problems: ['formula-not-approved'],
  })
  route(app, 'POST', '/solve', solveLimits, {
    operationId: 'solveLimits',
    tags,
    summary: 'Solve limits at least cost against the lots in store, without keeping anything',
    problems: ['ingredient-unknown'],
  })
  route(app, 'POST', '/solve/explain', explainLimits, {
    operationId: 'explainLimits',
    tags,
    summary: 'Why the mix of these limits costs what it costs, or what would make one possible',
    problems: ['ingredient-unknown'],
  })
  route(app, 'POST', '/solve/curve', curveOfLimits, {
    operationId: 'curveOfLimits',
    tags,
    summary: 'What the mix costs as one limit or one price runs over a range',
    problems: ['ingredient-unknown'],
  })
  route(app, 'POST', '/solve/alternatives', alternativesToLimits, {
    operationId: 'alternativesToLimits',
    tags,
    summary: 'Other mixes inside the same limits: without an ingredient, with fewer of them, the most different within a cost',
    problems: ['ingredient-unknown'],
  })
  route(app, 'POST', '/solve/assay-worth', assayWorthForLimits, {
    operationId: 'assayWorthForLimits',
    tags,
    summary: 'What one more laboratory result of a lot would be worth for the mix, the best first',
    problems: ['ingredient-unknown'],
  })
  route(app, 'POST', '/intake', henIntake, {
    operationId: 'henIntake',
    tags,
    summary: 'What a laying hen needs, eats and costs in a day',
  })
}
