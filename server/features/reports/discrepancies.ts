import { z } from 'zod'
import { ById } from '#contract/lists'
import { CloseDiscrepancyBody, DiscrepancyListQuery, DiscrepancyView } from '#contract/production'
import { MillError } from '#core/errors'
import { command } from '#platform/command'
import type { Prisma } from '#platform/database/client'
import { containing, numberIn, onlyIds, rowsOf } from '#platform/list-page'
import { query } from '#platform/query'
import { STAFF } from '#platform/staff'

const withNames = {
  lot: { select: { number: true } },
  batch: { select: { number: true } },
  order: { select: { number: true } },
  openedByUser: { select: { name: true } },
  closedByUser: { select: { name: true } },
} as const satisfies Prisma.DiscrepancyInclude
type Row = Prisma.DiscrepancyGetPayload<{ include: typeof withNames }>

const PlainFacts = z.record(z.string(), z.union([z.string(), z.number(), z.boolean(), z.null()]))

const discrepancyView = (row: Row): z.output<typeof DiscrepancyView> => ({
  id: row.id,
  number: row.number,
  kind: row.kind,
  lotNumber: row.lot?.number ?? null,
  batchId: row.batchId,
  batchNumber: row.batch?.number ?? null,
  orderNumber: row.order?.number ?? null,
  facts: plainFacts(row.facts),
  openedAt: row.openedAt.toISOString(),
  openedBy: row.openedByUser.name,
  closedAt: row.closedAt?.toISOString() ?? null,
  closedBy: row.closedByUser?.name ?? null,
  reason: row.reason,
  revision: row.revision,
})

// Other rooms may keep deeper facts with theirs; a list shows them as text.
const plainFacts = (facts: unknown): z.output<typeof PlainFacts> => {
  const known = z.record(z.string(), z.unknown()).parse(facts)
  return Object.fromEntries(
    Object.entries(known).map(([name, fact]) => [
      name,
      typeof fact === 'object' && fact !== null ? JSON.stringify(fact) : PlainFacts.valueType.parse(fact),
    ]),
  )
}

export const listDiscrepancies = query({
  roles: STAFF,
  input: DiscrepancyListQuery,
  output: DiscrepancyView,
  list: true,
  async run({ db }, { page, perPage, sort, order, q, id, open }) {
    const number = q === undefined ? undefined : numberIn(q)
    const where: Prisma.DiscrepancyWhereInput = {
      AND: [
        onlyIds(id),
        open === undefined ? {} : { closedAt: open === 'yes' ? null : { not: null } },
        q === undefined
          ? {}
          : {
              OR: [
                { kind: containing(q) },
                ...(number === undefined ? [] : [{ number }, { batch: { number } }, { lot: { number } }, { order: { number } }]),
              ],
            },
      ],
    }
    const [rows, total] = await Promise.all([
      db.discrepancy.findMany({ where, include: withNames, orderBy: [{ [sort]: order }, { number: order }], ...rowsOf({ page, perPage }) }),
      db.discrepancy.count({ where }),
    ])
    return { items: rows.map(discrepancyView), total }
  },
})

/** The manager has looked into it; the reason stays with it. */
export const closeDiscrepancy = command({
  roles: ['manager'],
  params: ById,
  input: CloseDiscrepancyBody,
  ifMatch: true,
  output: DiscrepancyView,
  async run({ tx, actor, now, record }, { id, revision, reason }) {
    const { count } = await tx.discrepancy.updateMany({
      where: { id, revision, closedAt: null },
      data: { closedAt: now, closedBy: actor.userId, reason, revision: { increment: 1 } },
    })
    const row = await tx.discrepancy.findUnique({ where: { id }, include: withNames })
    if (row === null) throw new MillError('not-found')
    if (count === 0) throw row.revision === revision ? new MillError('wrong-state', { status: 'closed' }) : new MillError('stale-revision')
    record('discrepancy.closed', 'discrepancy', id, { number: row.number, kind: row.kind, reason })
    return discrepancyView(row)
  },
})
