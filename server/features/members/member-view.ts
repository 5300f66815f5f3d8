import type { z } from 'zod'
import type { MemberView } from '#contract/members'
import type { Prisma } from '#platform/database/client'

/** Orders that still wait for something: neither handed over nor cancelled. */
const OPEN_STATUSES = ['quoted', 'ordered', 'planned', 'being-mixed', 'ready']

export const withCounts = {
  _count: { select: { flocks: { where: { closedAt: null } }, orders: { where: { status: { in: OPEN_STATUSES } } } } },
} as const satisfies Prisma.MemberInclude

type MemberRow = Prisma.MemberGetPayload<{ include: typeof withCounts }>

export const memberView = (row: MemberRow): z.output<typeof MemberView> => ({
  id: row.id,
  number: row.number,
  name: row.name,
  phone: row.phone,
  village: row.village,
  language: row.language === 'en' ? 'en' : 'sw',
  joinedAt: row.joinedAt.toISOString(),
  flocks: row._count.flocks,
  openOrders: row._count.orders,
  revision: row.revision,
})
