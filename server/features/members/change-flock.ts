import { ChangeFlockBody, FlockView } from '#contract/members'
import { ById } from '#contract/lists'
import { MillError } from '#core/errors'
import { loadToday, plainDate } from '#platform/mill-day'
import { command } from '#platform/command'
import { checkLaying } from './flock-rules.js'
import { flockView, typeOf, withMember } from './flock-view.js'
import { ownRows } from './own-rows.js'

export const changeFlock = command({
  roles: ['member', 'counter-clerk', 'manager'],
  params: ById,
  input: ChangeFlockBody,
  ifMatch: true,
  output: FlockView,
  async run({ tx, actor, now, record }, { id, revision, birds, laying, name }) {
    const before = await tx.flock.findFirst({ where: { id, closedAt: null, ...ownRows(actor) } })
    if (before === null) throw new MillError('not-found')
    const today = await loadToday(tx, now)
    checkLaying({ flockType: typeOf(before.flockType), hatchedOn: plainDate(before.hatchedOn), laying }, today)
    const { count } = await tx.flock.updateMany({ where: { id, revision }, data: { birds, laying, name, revision: { increment: 1 } } })
    if (count === 0) throw new MillError('stale-revision')
    record('flock.changed', 'flock', id, { birds, laying, birdsBefore: before.birds, layingBefore: before.laying })
    return flockView(await tx.flock.findUniqueOrThrow({ where: { id }, include: withMember }), today)
  },
})
