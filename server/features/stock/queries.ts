import { MovementListQuery, MovementView, StockProofView } from '#contract/stock'
import type { Prisma } from '#platform/database/client'
import { containing, onlyIds, rowsOf } from '#platform/list-page'
import { query } from '#platform/query'
import { STAFF } from '#platform/staff'
import { proveStock } from './prove-stock.js'
import { isReversible } from './reverse-transfer.js'

const withEntries = {
  actor: { select: { name: true } },
  order: { select: { number: true } },
  batch: { select: { number: true } },
  reversedBy: { select: { id: true } },
  entries: {
    include: {
      lot: { select: { number: true } },
      batch: { select: { number: true } },
      supplier: { select: { name: true } },
      member: { select: { name: true } },
    },
    orderBy: { id: 'asc' },
  },
} as const satisfies Prisma.StockTransferInclude
type Row = Prisma.StockTransferGetPayload<{ include: typeof withEntries }>

const movementView = (row: Row) => ({
  id: row.id,
  kind: row.kind,
  happenedAt: row.happenedAt.toISOString(),
  enteredAt: row.enteredAt.toISOString(),
  actor: row.actor.name,
  reason: row.reason,
  orderNumber: row.order?.number ?? null,
  batchNumber: row.batch?.number ?? null,
  reversesId: row.reversesId,
  reversed: row.reversedBy !== null,
  mayReverse: isReversible(row),
  entries: row.entries.map((entry) => ({
    account: entry.account,
    lotNumber: entry.lot?.number ?? null,
    batchNumber: entry.batch?.number ?? null,
    whose: entry.supplier?.name ?? entry.member?.name ?? null,
    kg: entry.kg.toFixed(3),
  })),
})

export const listMovements = query({
  roles: STAFF,
  input: MovementListQuery,
  output: MovementView,
  list: true,
  async run({ db }, { page, perPage, sort, order, q, id, lotId, orderId, batchId }) {
    const where: Prisma.StockTransferWhereInput = {
      AND: [
        onlyIds(id),
        lotId === undefined ? {} : { entries: { some: { lotId } } },
        orderId === undefined ? {} : { orderId },
        batchId === undefined ? {} : { OR: [{ batchId }, { entries: { some: { batchId } } }] },
        q === undefined ? {} : { OR: [{ kind: containing(q) }, { reason: containing(q) }] },
      ],
    }
    const rows = await db.stockTransfer.findMany({
      where,
      include: withEntries,
      orderBy: [{ [sort]: order }, { id: order }],
      ...rowsOf({ page, perPage }),
    })
    return { items: rows.map(movementView), total: await db.stockTransfer.count({ where }) }
  },
})

export { getStockAsOf } from './as-of.js'
export { listProposals } from './proposals.js'

export const getStockProof = query({
  roles: ['manager'],
  output: StockProofView,
  run: ({ db, now }) => proveStock(db, now),
})
