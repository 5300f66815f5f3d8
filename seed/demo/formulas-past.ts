import type { LimitsBody } from '#contract/formulas'
import { approveVersion } from '#features/formulas/approve-version'
import { changeVersion } from '#features/formulas/change-version'
import { createFormula } from '#features/formulas/create-formula'
import { submitVersion } from '#features/formulas/submit-version'
import { FORMULAS, type DemoFormula } from './formulas.js'
import type { Deed, MomentBefore, Past } from './past.js'

const withIngredients = (limits: LimitsBody, wanted: DemoFormula['ingredients']): LimitsBody => ({
  ...limits,
  ingredients: [
    ...limits.ingredients.filter(({ ingredientId }) => wanted[ingredientId] === undefined),
    ...Object.entries(wanted).map(([ingredientId, limit]) => ({ ingredientId, ...limit })),
  ],
})

const draft = async (past: Past, formula: DemoFormula, password: string): Promise<void> => {
  const { nameEn, nameSw, stage, source, ingredients, medication = null, note = '', until } = formula
  const requirementUse = { kind: 'minimum', certainty: 0.5 } as const
  const first = await past.do('nutritionist', createFormula, { nameEn, nameSw, stage, requirementSource: source, requirementUse })
  const { id } = first
  const limits = withIngredients(first.limits, ingredients)
  const changed = await past.do('nutritionist', changeVersion, { id, revision: first.revision, limits, medication, note })
  if (until === 'draft') return
  const submitted = await past.do('nutritionist', submitVersion, { id, revision: changed.revision })
  if (until === 'approved') await past.do('manager', approveVersion, { id, revision: submitted.revision, password })
}

/** Drafted and approved in the first weeks; what still waits for the manager came yesterday. */
export const deedsOfFormulas = (when: MomentBefore, password: string): Deed[] =>
  FORMULAS.map((formula, index) => ({
    at: formula.until !== 'approved' ? when(1, 16, index) : formula.medication === undefined ? when(66, 9, index) : when(14, 9, index),
    run: (past) => draft(past, formula, password),
  }))
