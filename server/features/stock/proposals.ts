import type { z } from 'zod'
import { ProposalListQuery, ProposalView } from '#contract/stock'
import { MillError } from '#core/errors'
import type { Prisma, Tx } from '#platform/database/client'
import { numberIn, onlyIds, rowsOf } from '#platform/list-page'
import { query } from '#platform/query'
import { STAFF } from '#platform/staff'

const withNames = {
  lot: { include: { ingredient: { select: { nameEn: true, nameSw: true } } } },
  proposedByUser: { select: { name: true } },
  decidedByUser: { select: { name: true } },
} as const satisfies Prisma.StockProposalInclude
export type ProposalRow = Prisma.StockProposalGetPayload<{ include: typeof withNames }>
type View = z.output<typeof ProposalView>

const proposalView = (row: ProposalRow, readerId: string): View => ({
  id: row.id,
  number: row.number,
  kind: row.kind as View['kind'],
  status: row.status as View['status'],
  lotId: row.lotId,
  lotNumber: row.lot.number,
  ingredientNameEn: row.lot.ingredient.nameEn,
  ingredientNameSw: row.lot.ingredient.nameSw,
  kg: row.kg.toFixed(3),
  differenceKg: row.differenceKg.toFixed(3),
  onHandKg: row.lot.onHandKg.toFixed(3),
  reservedKg: row.lot.reservedKg.toFixed(3),
  happenedAt: row.happenedAt.toISOString(),
  reason: row.reason,
  proposedAt: row.proposedAt.toISOString(),
  proposedBy: row.proposedByUser.name,
  mine: row.proposedBy === readerId,
  decidedAt: row.decidedAt?.toISOString() ?? null,
  decidedBy: row.decidedByUser?.name ?? null,
  decidedReason: row.decidedReason,
  revision: row.revision,
})

export const wholeProposal = async (tx: Tx, id: string, readerId: string): Promise<View> => {
  const row = await tx.stockProposal.findUnique({ where: { id }, include: withNames })
  if (row === null) throw new MillError('not-found', { id })
  return proposalView(row, readerId)
}

export const listProposals = query({
  roles: STAFF,
  input: ProposalListQuery,
  output: ProposalView,
  list: true,
  async run({ db, actor }, { page, perPage, sort, order, q, id, status, lotId }) {
    const number = q === undefined ? undefined : numberIn(q)
    const where: Prisma.StockProposalWhereInput = {
      AND: [
        onlyIds(id),
        status === undefined ? {} : { status: { in: status } },
        lotId === undefined ? {} : { lotId },
        q === undefined ? {} : { lot: { number: number ?? -1 } },
      ],
    }
    const rows = await db.stockProposal.findMany({
      where,
      include: withNames,
      orderBy: [{ [sort]: order }, { id: order }],
      ...rowsOf({ page, perPage }),
    })
    return { items: rows.map((row) => proposalView(row, actor.userId)), total: await db.stockProposal.count({ where }) }
  },
})
