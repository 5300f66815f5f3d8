import { ById } from '#contract/lists'
import { FlockListQuery, FlockView, MemberListQuery, MemberView } from '#contract/members'
import { MillError } from '#core/errors'
import { containing, numberIn, onlyIds, rowsOf } from '#platform/list-page'
import { loadToday } from '#platform/mill-day'
import type { Prisma } from '#platform/database/client'
import { query } from '#platform/query'
import { flockView, withMember } from './flock-view.js'
import { memberView, withCounts } from './member-view.js'
import { ownRows } from './own-rows.js'

export const listMembers = query({
  roles: ['manager', 'counter-clerk', 'member'],
  input: MemberListQuery,
  output: MemberView,
  list: true,
  async run({ db, actor }, { page, perPage, sort, order, q, id, village }) {
    const number = q === undefined ? undefined : numberIn(q)
    const { memberId } = ownRows(actor)
    const where: Prisma.MemberWhereInput = {
      AND: [
        onlyIds(id),
        memberId === undefined ? {} : { id: memberId },
        village === undefined ? {} : { village },
        q === undefined
          ? {}
          : {
              OR: [
                { name: containing(q) },
                { phone: containing(q) },
                { village: containing(q) },
                ...(number === undefined ? [] : [{ number }]),
              ],
            },
      ],
    }
    const [rows, total] = await Promise.all([
      db.member.findMany({
        where,
        include: withCounts,
        orderBy: [{ [sort]: order }, { number: 'asc' }],
        ...rowsOf({ page, perPage }),
      }),
      db.member.count({ where }),
    ])
    return { items: rows.map(memberView), total }
  },
})

export const getMember = query({
  roles: ['manager', 'counter-clerk', 'member'],
  params: ById,
  output: MemberView,
  async run({ db, actor }, { id }) {
    const { memberId } = ownRows(actor)
    const row = await db.member.findFirst({ where: { AND: [{ id }, memberId === undefined ? {} : { id: memberId }] }, include: withCounts })
    if (row === null) throw new MillError('not-found')
    return memberView(row)
  },
})

export const listFlocks = query({
  roles: ['manager', 'counter-clerk', 'nutritionist', 'member'],
  input: FlockListQuery,
  output: FlockView,
  list: true,
  async run({ db, actor, now }, { page, perPage, sort, order, q, id, memberId }) {
    const where: Prisma.FlockWhereInput = {
      AND: [
        { closedAt: null },
        onlyIds(id),
        ownRows(actor),
        memberId === undefined ? {} : { memberId },
        q === undefined ? {} : { OR: [{ name: containing(q) }, { member: { name: containing(q) } }] },
      ],
    }
    const [rows, total, today] = await Promise.all([
      db.flock.findMany({
        where,
        include: withMember,
        orderBy: [{ [sort]: order }, { id: 'asc' }],
        ...rowsOf({ page, perPage }),
      }),
      db.flock.count({ where }),
      loadToday(db, now),
    ])
    return { items: rows.map((row) => flockView(row, today)), total }
  },
})

export const getFlock = query({
  roles: ['manager', 'counter-clerk', 'nutritionist', 'member'],
  params: ById,
  output: FlockView,
  async run({ db, actor, now }, { id }) {
    const row = await db.flock.findFirst({ where: { id, closedAt: null, ...ownRows(actor) }, include: withMember })
    if (row === null) throw new MillError('not-found')
    return flockView(row, await loadToday(db, now))
  },
})
