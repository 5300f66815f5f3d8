import { AddRequiredTestBody, RequiredTestView } from '#contract/lots'
import { fieldError, MillError } from '#core/errors'
import { testDuties } from '#core/safety/required-tests'
import { command } from '#platform/command'
import { loadCheckContext } from './lot-safety.js'
import { requiredTestView, withPeople } from './required-tests.js'

/** A mill may ask for more than the reference does, never for less. */
export const addRequiredTest = command({
  roles: ['manager'],
  input: AddRequiredTestBody,
  output: RequiredTestView,
  status: 201,
  async run({ tx, actor, now, newId, record }, { ingredientId, hazard, reason }) {
    const ingredient = await tx.ingredient.findUnique({ where: { id: ingredientId }, select: { category: true } })
    if (ingredient === null) throw new MillError('ingredient-unknown', { ingredientId })
    const duties = testDuties({ ingredientKey: ingredientId, category: ingredient.category }, await loadCheckContext(tx, now), [])
    if (duties.some((duty) => duty.hazard === hazard && duty.duty === 'required'))
      throw fieldError('bad-input', 'hazard', 'already-required', 'this test is required already, by the reference')
    const id = newId()
    // Two who add the same at once: the index lets one of them through, the other is told that it exists.
    const row = await tx.requiredTest.create({
      data: { id, ingredientId, hazard, reason, addedAt: now, addedBy: actor.userId },
      include: withPeople,
    })
    record('required-test.added', 'required-test', id, { ingredientId, hazard, reason })
    return requiredTestView(row)
  },
})
