import { CreateFlockBody, FlockView } from '#contract/members'
import { fieldError } from '#core/errors'
import { dateOf, loadToday } from '#platform/mill-day'
import { command } from '#platform/command'
import { checkHatchDate } from './flock-rules.js'
import { flockView, withMember } from './flock-view.js'

export const createFlock = command({
  roles: ['member', 'counter-clerk', 'manager'],
  input: CreateFlockBody,
  output: FlockView,
  status: 201,
  async run({ tx, actor, now, newId, record }, input) {
    const memberId = actor.role === 'member' ? actor.memberId : input.memberId
    // A member who names somebody else is told that there is no such member, not that there is one.
    if (memberId === null || (actor.role === 'member' && input.memberId !== null && input.memberId !== memberId)) {
      throw fieldError('bad-input', 'memberId', 'unknown', 'there is no such member')
    }
    const member = await tx.member.findUnique({ where: { id: memberId }, select: { id: true } })
    if (member === null) throw fieldError('bad-input', 'memberId', 'unknown', 'there is no such member')
    const today = await loadToday(tx, now)
    checkHatchDate(input, today)
    const { name, flockType, birds, laying } = input
    const row = await tx.flock.create({
      data: { id: newId(), memberId, name, flockType, birds, laying, hatchedOn: dateOf(input.hatchedOn), createdAt: now },
      include: withMember,
    })
    record('flock.added', 'flock', row.id, { memberId, flockType, birds, hatchedOn: input.hatchedOn, laying })
    return flockView(row, today)
  },
})
