import type { z } from 'zod'
import type { TraceView } from '#contract/tracing'
import { formatKg, sumGrams } from '#core/quantity/mass'
import type { TraceEdge } from '#core/trace/trace-graph'
import type { Tx } from '#platform/database/client'
import { idsOf, mass, massInto, nodeId } from './trace-rows.js'

export type Node = z.output<typeof TraceView>['nodes'][number]
type Language = 'en' | 'sw'
type Named = { readonly nameEn: string; readonly nameSw: string }
const named = ({ nameEn, nameSw }: Named, language: Language): string => (language === 'en' ? nameEn : nameSw)

const massOut = (edges: readonly TraceEdge[], node: string) => sumGrams(edges.filter(({ from }) => from === node).map((edge) => edge.mass))

const lotNodes = async (tx: Tx, ids: string[], language: Language): Promise<Node[]> => {
  const rows = await tx.lot.findMany({
    where: { id: { in: ids } },
    orderBy: { number: 'asc' },
    include: { ingredient: { select: { nameEn: true, nameSw: true } }, supplier: { select: { name: true } } },
  })
  return rows.map((row) => ({
    id: nodeId('lot', row.id),
    kind: 'lot',
    number: row.number,
    label: named(row.ingredient, language),
    detail: row.supplier.name,
    status: row.status,
    kg: row.netKg.toFixed(3),
  }))
}

const feed = { formulaVersion: { select: { formula: { select: { nameEn: true, nameSw: true } } } } } as const

const batchNodes = async (tx: Tx, ids: string[], language: Language): Promise<Node[]> => {
  const rows = await tx.batch.findMany({
    where: { id: { in: ids } },
    orderBy: { number: 'asc' },
    include: { order: { select: feed }, mixer: { select: { name: true } } },
  })
  return rows.map((row) => ({
    id: nodeId('batch', row.id),
    kind: 'batch',
    number: row.number,
    label: named(row.order.formulaVersion.formula, language),
    detail: row.mixer.name,
    status: row.status,
    kg: (row.madeKg ?? row.loadKg).toFixed(3),
  }))
}

const orderNodes = async (tx: Tx, ids: string[], language: Language): Promise<Node[]> => {
  const rows = await tx.order.findMany({
    where: { id: { in: ids } },
    orderBy: { number: 'asc' },
    include: { ...feed, flock: { select: { name: true } } },
  })
  return rows.map((row) => ({
    id: nodeId('order', row.id),
    kind: 'order',
    number: row.number,
    label: named(row.formulaVersion.formula, language),
    detail: row.flock.name,
    status: row.status,
    kg: row.kg.toFixed(3),
  }))
}

const supplierNodes = async (tx: Tx, ids: string[], edges: readonly TraceEdge[]): Promise<Node[]> => {
  const rows = await tx.supplier.findMany({ where: { id: { in: ids } }, orderBy: { name: 'asc' } })
  return rows.map(({ id, name, place, phone }) => {
    const node = nodeId('supplier', id)
    return {
      id: node,
      kind: 'supplier',
      number: null,
      label: name,
      detail: [place, phone].filter(Boolean).join(', '),
      status: '',
      kg: formatKg(massOut(edges, node)),
    }
  })
}

const memberNodes = async (tx: Tx, ids: string[], edges: readonly TraceEdge[]): Promise<Node[]> => {
  const rows = await tx.member.findMany({ where: { id: { in: ids } }, orderBy: { number: 'asc' } })
  return rows.map(({ id, number, name, phone, village }) => {
    const node = nodeId('member', id)
    return {
      id: node,
      kind: 'member',
      number,
      label: name,
      detail: [village, phone].filter(Boolean).join(', '),
      status: '',
      kg: formatKg(massInto(edges, node, true)),
    }
  })
}

/** The things of a trace with their names, in the order of the feed's way; kilograms of a member are those that were handed over. */
export const traceNodes = async (tx: Tx, ids: ReadonlySet<string>, edges: readonly TraceEdge[], language: Language): Promise<Node[]> => [
  ...(await supplierNodes(tx, idsOf('supplier', ids), edges)),
  ...(await lotNodes(tx, idsOf('lot', ids), language)),
  ...(await batchNodes(tx, idsOf('batch', ids), language)),
  ...(await orderNodes(tx, idsOf('order', ids), language)),
  ...(await memberNodes(tx, idsOf('member', ids), edges)),
]

/** What was made of the loads of a trace, what was handed over, and what lies in bags at the mill. */
export const traceTotals = async (
  tx: Tx,
  ids: ReadonlySet<string>,
  edges: readonly TraceEdge[],
): Promise<z.output<typeof TraceView>['totals']> => {
  const batches = await tx.batch.findMany({ where: { id: { in: idsOf('batch', ids) } }, select: { madeKg: true, bagsOnHandKg: true } })
  const collected = edges.filter(({ to, certain }) => certain && to.startsWith('member:')).map((edge) => edge.mass)
  return {
    lots: idsOf('lot', ids).length,
    batches: batches.length,
    orders: idsOf('order', ids).length,
    members: idsOf('member', ids).length,
    madeKg: formatKg(sumGrams(batches.map(({ madeKg }) => mass(madeKg)))),
    collectedKg: formatKg(sumGrams(collected)),
    bagsOnHandKg: formatKg(sumGrams(batches.map(({ bagsOnHandKg }) => mass(bagsOnHandKg)))),
  }
}
