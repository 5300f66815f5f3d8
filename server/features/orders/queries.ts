import { ById } from '#contract/lists'
import { OrderDetailView, OrderListQuery, OrderView } from '#contract/orders'
import { MillError } from '#core/errors'
import { containing, numberIn, onlyIds, rowsOf } from '#platform/list-page'
import { ownRows } from '#features/members/own-rows'
import type { Prisma } from '#platform/database/client'
import { dateOf } from '#platform/mill-day'
import { query } from '#platform/query'
import { bagKgOfMill } from './bag-size.js'
import { orderDetailView, orderView, withNames } from './order-view.js'

const matching = (q: string): Prisma.OrderWhereInput => {
  const number = numberIn(q)
  return {
    OR: [
      { member: { name: containing(q) } },
      { flock: { name: containing(q) } },
      { formulaVersion: { formula: { nameEn: containing(q) } } },
      { formulaVersion: { formula: { nameSw: containing(q) } } },
      ...(number === undefined ? [] : [{ number }]),
    ],
  }
}

export const listOrders = query({
  roles: 'everyone',
  input: OrderListQuery,
  output: OrderView,
  list: true,
  async run({ db, actor }, { page, perPage, sort, order, q, id, status, memberId, flockId, formulaId, dueBy }) {
    const where: Prisma.OrderWhereInput = {
      AND: [
        ownRows(actor),
        onlyIds(id),
        status === undefined ? {} : { status: { in: status } },
        memberId === undefined ? {} : { memberId },
        flockId === undefined ? {} : { flockId },
        formulaId === undefined ? {} : { formulaVersion: { formulaId } },
        dueBy === undefined ? {} : { dueOn: { lte: dateOf(dueBy) } },
        q === undefined ? {} : matching(q),
      ],
    }
    const [rows, total, bagKg] = await Promise.all([
      db.order.findMany({ where, include: withNames, orderBy: [{ [sort]: order }, { number: order }], ...rowsOf({ page, perPage }) }),
      db.order.count({ where }),
      bagKgOfMill(db),
    ])
    return { items: rows.map((row) => orderView(row, { bagKg, showCode: actor.role === 'member' })), total }
  },
})

export const getOrder = query({
  roles: 'everyone',
  params: ById,
  output: OrderDetailView,
  async run({ db, actor }, { id }) {
    const row = await db.order.findFirst({ where: { id, ...ownRows(actor) }, include: withNames })
    if (row === null) throw new MillError('not-found')
    return orderDetailView(row, { bagKg: await bagKgOfMill(db), actor })
  },
})
