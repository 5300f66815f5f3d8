import { CreateFormulaBody, VersionView } from '#contract/formulas'
import { fieldError } from '#core/errors'
import { command } from '#platform/command'
import { limitsFromRequirements } from './requirement-limits.js'
import { wholeVersion } from './whole-version.js'

/** A formula begins as version 1 from a published requirement set; its limits are the nutritionist's from then on. */
export const createFormula = command({
  roles: ['nutritionist', 'manager'],
  input: CreateFormulaBody,
  output: VersionView,
  status: 201,
  async run({ tx, actor, now, newId, record }, { nameEn, nameSw, stage, requirementSource, requirementUse }) {
    const limits = await limitsFromRequirements(tx, { stage, source: requirementSource }, requirementUse)
    const namesake = await tx.formula.findUnique({ where: { nameEn }, select: { number: true } })
    if (namesake !== null)
      throw fieldError('already-exists', 'nameEn', 'already-exists', 'another formula has this name', { number: namesake.number })
    const formula = await tx.formula.create({ data: { id: newId(), nameEn, nameSw, stage, createdAt: now } })
    const id = newId()
    await tx.formulaVersion.create({
      data: { id, formulaId: formula.id, version: 1, requirementSource, limits, authorId: actor.userId, createdAt: now },
    })
    record('formula.drafted', 'formula-version', id, { formula: formula.number, version: 1, stage, requirementSource, requirementUse })
    return wholeVersion(tx, id, now)
  },
})
