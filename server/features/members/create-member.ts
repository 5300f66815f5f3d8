import { CreateMemberBody, MemberView } from '#contract/members'
import { command } from '#platform/command'
import { memberView, withCounts } from './member-view.js'

export const createMember = command({
  roles: ['counter-clerk', 'manager'],
  input: CreateMemberBody,
  output: MemberView,
  status: 201,
  async run({ tx, now, newId, record }, { name, phone, village, language }) {
    const row = await tx.member.create({ data: { id: newId(), name, phone, village, language, joinedAt: now }, include: withCounts })
    record('member.joined', 'member', row.id, { number: row.number, name })
    return memberView(row)
  },
})
