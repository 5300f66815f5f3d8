import type { z } from 'zod'
import { TraceQuery, TraceView } from '#contract/tracing'
import { fieldError, MillError } from '#core/errors'
import { formatKg } from '#core/quantity/mass'
import { traceGraph, unexplainedOf, type TraceEdge } from '#core/trace/trace-graph'
import type { Tx } from '#platform/database/client'
import { query } from '#platform/query'
import { traceNodes, traceTotals } from './trace-nodes.js'
import {
  batchIdsOf,
  idsOf,
  lotEdges,
  lotSums,
  madeOfThese,
  makingEdges,
  mass,
  memberEdges,
  nodeId,
  orderEdges,
  originsOf,
  supplierEdges,
  waitingEdges,
} from './trace-rows.js'

type Asked = z.output<typeof TraceQuery>
type Found = { readonly id: string; readonly label: string }

const find = async (tx: Tx, { from, number, id }: Asked): Promise<Found | null> => {
  if (from === 'supplier') {
    const row = id === undefined ? null : await tx.supplier.findUnique({ where: { id } })
    return row === null ? null : { id: row.id, label: row.name }
  }
  const where = id !== undefined ? { id } : { number: number ?? 0 }
  const select = { id: true, number: true } as const
  const row =
    from === 'lot'
      ? await tx.lot.findFirst({ where, select })
      : from === 'batch'
        ? await tx.batch.findFirst({ where, select })
        : from === 'order'
          ? await tx.order.findFirst({ where, select })
          : await tx.member.findFirst({ where, select })
  return row === null ? null : { id: row.id, label: String(row.number) }
}

const lotsAsked = async (tx: Tx, { from }: Asked, id: string): Promise<string[]> =>
  from === 'lot'
    ? [id]
    : from === 'supplier'
      ? (await tx.lot.findMany({ where: { supplierId: id }, select: { id: true } })).map((lot) => lot.id)
      : []

const loadEdges = async (tx: Tx, asked: Asked, id: string): Promise<TraceEdge[]> => {
  const asksLots = await lotsAsked(tx, asked, id)
  const later = await madeOfThese(tx, asksLots)
  const batchIds = await batchIdsOf(tx, asked.from, id, later)
  const intoBatches = await lotEdges(tx, batchIds)
  const weighedIn = idsOf(
    'lot',
    intoBatches.map(({ from }) => from),
  )
  const lotIds = await originsOf(tx, [...weighedIn, ...later])
  return [
    ...(await supplierEdges(tx, lotIds)),
    ...(await makingEdges(tx, lotIds)),
    ...intoBatches,
    ...(await orderEdges(tx, batchIds)),
    ...(await memberEdges(tx, batchIds)),
    ...(asked.from === 'order' || asked.from === 'member' ? await waitingEdges(tx, asked.from, id) : []),
  ]
}

const balanceOf = async (tx: Tx, lotId: string): Promise<z.output<typeof TraceView>['balance']> => {
  const { received, used, other } = await lotSums(tx, lotId)
  const lot = await tx.lot.findUniqueOrThrow({ where: { id: lotId }, select: { onHandKg: true } })
  const onHand = mass(lot.onHandKg)
  const difference = unexplainedOf({ received, used, onHand, other })
  return {
    receivedKg: formatKg(received),
    usedKg: formatKg(used),
    onHandKg: formatKg(onHand),
    otherKg: formatKg(other),
    differenceKg: formatKg(difference),
  }
}

/** Where something came from and where it went, in kilograms of the ledger, all of one moment. */
export const trace = query({
  roles: ['manager', 'store-keeper', 'laboratory', 'nutritionist', 'counter-clerk'],
  input: TraceQuery,
  output: TraceView,
  async run({ db, actor, now }, asked) {
    if (asked.id === undefined && (asked.number === undefined || asked.from === 'supplier')) {
      throw fieldError('bad-input', asked.from === 'supplier' ? 'id' : 'number', 'missing', 'say which one')
    }
    return db.$transaction(
      async (tx) => {
        await tx.$executeRaw`SET TRANSACTION READ ONLY`
        const found = await find(tx, asked)
        if (found === null) throw new MillError('not-found')
        const node = nodeId(asked.from, found.id)
        const { nodes, edges } = traceGraph(await loadEdges(tx, asked, found.id), node)
        return {
          asked: { kind: asked.from, id: node, label: found.label },
          at: now.toISOString(),
          nodes: await traceNodes(tx, nodes, edges, actor.language),
          edges: edges.map(({ from, to, mass: moved, certain }) => ({ from, to, kg: formatKg(moved), certain })),
          totals: await traceTotals(tx, nodes, edges),
          balance: asked.from === 'lot' ? await balanceOf(tx, found.id) : null,
        }
      },
      { isolationLevel: 'RepeatableRead' },
    )
  },
})
