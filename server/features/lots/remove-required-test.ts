import { ById } from '#contract/lists'
import { RemoveRequiredTestBody, RequiredTestView } from '#contract/lots'
import { MillError } from '#core/errors'
import { command } from '#platform/command'
import { requiredTestView, withPeople } from './required-tests.js'

/** Only an addition of the mill can be taken back; who asked for it, who took it back and why stays on the list. */
export const removeRequiredTest = command({
  roles: ['manager'],
  params: ById,
  input: RemoveRequiredTestBody,
  ifMatch: true,
  output: RequiredTestView,
  async run({ tx, actor, now, record }, { id, revision, reason }) {
    const { count } = await tx.requiredTest.updateMany({
      where: { id, revision, removedAt: null },
      data: { removedAt: now, removedBy: actor.userId, removedReason: reason, revision: { increment: 1 } },
    })
    const row = await tx.requiredTest.findUnique({ where: { id }, include: withPeople })
    if (row === null) throw new MillError('not-found')
    if (count === 0) throw row.removedAt === null ? new MillError('stale-revision') : new MillError('wrong-state', { status: 'removed' })
    record('required-test.removed', 'required-test', id, { ingredientId: row.ingredientId, hazard: row.hazard, reason })
    return requiredTestView(row)
  },
})
