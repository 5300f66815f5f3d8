import { grams, parseKg, sumGrams, type Grams } from '#core/quantity/mass'
import type { TraceEdge } from '#core/trace/trace-graph'
import type { Tx } from '#platform/database/client'
import { Prisma } from '#platform/database/generated/client'

export type Kind = 'supplier' | 'lot' | 'batch' | 'order' | 'member'
export const nodeId = (kind: Kind, id: string): string => `${kind}:${id}`
export const idsOf = (kind: Kind, nodes: Iterable<string>): string[] =>
  [...nodes].filter((node) => node.startsWith(`${kind}:`)).map((node) => node.slice(kind.length + 1))

type Kg = { toFixed(places: number): string }
export const mass = (kg: Kg | null): Grams => (kg === null ? grams(0) : parseKg(kg.toFixed(3)))
type Step = { from_id: string; to_id: string; kg: Kg; certain: boolean }
const edges = (rows: readonly Step[], from: Kind, to: Kind): TraceEdge[] =>
  rows.map((row) => ({ from: nodeId(from, row.from_id), to: nodeId(to, row.to_id), mass: mass(row.kg), certain: row.certain }))

/** Which lot holds a part of which. A making that was undone made nothing. */
const PARTS = Prisma.sql`
  SELECT p.lot_id, p.parent_id, p.kg FROM lot_parent p JOIN lot_making m ON m.lot_id = p.lot_id
  WHERE NOT EXISTS (SELECT FROM stock_transfer r WHERE r.reverses_id = m.transfer_id)`

const reached = async (tx: Tx, lotIds: readonly string[], step: Prisma.Sql): Promise<string[]> => {
  const rows = await tx.$queryRaw<{ id: string }[]>`
    WITH RECURSIVE part AS (${PARTS}), found AS (SELECT unnest(${[...lotIds]}::uuid[]) AS id UNION ${step}) SELECT id FROM found`
  return rows.map((row) => row.id)
}

/** Every lot that these were made from, these with them, however many makings back. */
export const originsOf = (tx: Tx, lotIds: readonly string[]): Promise<string[]> =>
  reached(tx, lotIds, Prisma.sql`SELECT part.parent_id FROM part JOIN found ON part.lot_id = found.id`)

/** Every lot that holds a part of these, these with them, however many makings later. */
export const madeOfThese = (tx: Tx, lotIds: readonly string[]): Promise<string[]> =>
  reached(tx, lotIds, Prisma.sql`SELECT part.lot_id FROM part JOIN found ON part.parent_id = found.id`)

/** Lots into the lots that were made of them. */
export const makingEdges = async (tx: Tx, lotIds: readonly string[]): Promise<TraceEdge[]> => {
  const rows = await tx.$queryRaw<Step[]>`
    SELECT parent_id AS from_id, lot_id AS to_id, kg, true AS certain FROM (${PARTS}) part
    WHERE lot_id = ANY(${[...lotIds]}::uuid[]) AND parent_id = ANY(${[...lotIds]}::uuid[])`
  return edges(rows, 'lot', 'lot')
}

/** Which loads a trace runs through, by what was asked. A load that was cancelled before it began never held anything. */
export const batchIdsOf = async (tx: Tx, kind: Kind, id: string, lotIds: readonly string[]): Promise<string[]> => {
  const rows = await tx.$queryRaw<{ id: string }[]>`
    SELECT DISTINCT b.id FROM batch b JOIN "order" o ON o.id = b.order_id
    LEFT JOIN batch_line l ON l.batch_id = b.id AND ${kind} IN ('lot', 'supplier')
    WHERE (b.status <> 'cancelled' OR b.started_at IS NOT NULL) AND CASE ${kind}
      WHEN 'batch' THEN b.id = ${id}::uuid WHEN 'order' THEN o.id = ${id}::uuid WHEN 'member' THEN o.member_id = ${id}::uuid
      ELSE l.lot_id = ANY(${[...lotIds]}::uuid[]) END`
  return rows.map((row) => row.id)
}

/** Lots into loads: what the ledger says was weighed in; for a load not finished what its sheet plans, not certain. */
export const lotEdges = async (tx: Tx, batchIds: readonly string[]): Promise<TraceEdge[]> => {
  const rows = await tx.$queryRaw<Step[]>`
    SELECT e.lot_id AS from_id, e.batch_id AS to_id, sum(e.kg) AS kg, true AS certain
    FROM stock_entry e WHERE e.account = 'making' AND e.lot_id IS NOT NULL AND e.batch_id = ANY(${batchIds}::uuid[])
    GROUP BY e.lot_id, e.batch_id
    UNION ALL
    SELECT l.lot_id, l.batch_id, sum(coalesce(l.actual_kg, l.target_kg)), false
    FROM batch_line l JOIN batch b ON b.id = l.batch_id
    WHERE b.id = ANY(${batchIds}::uuid[]) AND b.finished_at IS NULL AND l.lot_id IS NOT NULL
    GROUP BY l.lot_id, l.batch_id`
  return edges(rows, 'lot', 'batch')
}

/** Deliveries into lots, from the ledger. */
export const supplierEdges = async (tx: Tx, lotIds: readonly string[]): Promise<TraceEdge[]> => {
  const rows = await tx.$queryRaw<Step[]>`
    SELECT supplier_id AS from_id, lot_id AS to_id, -sum(kg) AS kg, true AS certain
    FROM stock_entry WHERE account = 'supplier' AND lot_id = ANY(${lotIds}::uuid[]) GROUP BY supplier_id, lot_id`
  return edges(rows, 'supplier', 'lot')
}

/** Loads into orders: what was bagged; for a load not finished its planned mass, not certain. */
export const orderEdges = async (tx: Tx, batchIds: readonly string[]): Promise<TraceEdge[]> => {
  const rows = await tx.$queryRaw<Step[]>`
    SELECT id AS from_id, order_id AS to_id, coalesce(made_kg, load_kg) AS kg, finished_at IS NOT NULL AS certain
    FROM batch WHERE id = ANY(${batchIds}::uuid[])`
  return edges(rows, 'batch', 'order')
}

/** Orders to members: what the ledger says was handed over of these loads; what still lies at the mill or is planned is not certain. */
export const memberEdges = async (tx: Tx, batchIds: readonly string[]): Promise<TraceEdge[]> => {
  const rows = await tx.$queryRaw<Step[]>`
    SELECT b.order_id AS from_id, e.member_id AS to_id, sum(e.kg) AS kg, true AS certain
    FROM stock_entry e JOIN batch b ON b.id = e.batch_id
    WHERE e.account = 'member' AND e.batch_id = ANY(${batchIds}::uuid[]) GROUP BY b.order_id, e.member_id
    UNION ALL
    SELECT b.order_id, o.member_id, sum(CASE WHEN b.finished_at IS NULL THEN b.load_kg ELSE b.bags_on_hand_kg END), false
    FROM batch b JOIN "order" o ON o.id = b.order_id
    WHERE b.id = ANY(${batchIds}::uuid[]) AND (b.finished_at IS NULL OR b.bags_on_hand_kg > 0) GROUP BY b.order_id, o.member_id`
  return edges(rows, 'order', 'member')
}

/** Orders that no load was made for yet, of one order or one member. */
export const waitingEdges = async (tx: Tx, kind: 'order' | 'member', id: string): Promise<TraceEdge[]> => {
  const rows = await tx.$queryRaw<Step[]>`
    SELECT o.id AS from_id, o.member_id AS to_id, o.kg, false AS certain FROM "order" o
    WHERE CASE ${kind} WHEN 'order' THEN o.id = ${id}::uuid ELSE o.member_id = ${id}::uuid END AND o.status <> 'cancelled'
      AND NOT EXISTS (SELECT FROM batch b WHERE b.order_id = o.id AND b.status <> 'cancelled')`
  return edges(rows, 'order', 'member')
}

type LotSums = { received: Kg | null; used: Kg | null; other: Kg | null; made: Kg | null; passed: Kg | null }

/**
 * A lot's own books, from the ledger alone: received (delivered, or taken from other lots to make it), used in loads and for other lots, and
 * everything but stock (counts, losses, unexplained). All that one making moved under a lot is what it gave to it or took from it.
 */
export const lotSums = async (tx: Tx, lotId: string): Promise<{ received: Grams; used: Grams; other: Grams }> => {
  const [row] = await tx.$queryRaw<LotSums[]>`
    WITH making AS (
      SELECT sum(e.kg) AS kg FROM stock_entry e JOIN stock_transfer t ON t.id = e.transfer_id LEFT JOIN stock_transfer was ON was.id = t.reverses_id
      WHERE e.lot_id = ${lotId}::uuid AND coalesce(was.kind, t.kind) IN ('grinding', 'drying', 'bin') GROUP BY coalesce(was.id, t.id))
    SELECT (SELECT sum(kg) FROM making WHERE kg > 0) AS made, (SELECT -sum(kg) FROM making WHERE kg < 0) AS passed,
      -sum(kg) FILTER (WHERE account = 'supplier') AS received, sum(kg) FILTER (WHERE account = 'making') AS used,
      sum(kg) FILTER (WHERE account NOT IN ('supplier', 'making', 'lot-free', 'lot-reserved')) AS other
    FROM stock_entry WHERE lot_id = ${lotId}::uuid`
  const [received, used, made, passed] = [row?.received, row?.used, row?.made, row?.passed].map((kg) => mass(kg ?? null))
  return {
    received: sumGrams([received ?? grams(0), made ?? grams(0)]),
    used: sumGrams([used ?? grams(0), passed ?? grams(0)]),
    other: mass(row?.other ?? null),
  }
}

export const massInto = (all: readonly TraceEdge[], node: string, certainOnly: boolean): Grams =>
  sumGrams(all.filter(({ to, certain }) => to === node && (certain || !certainOnly)).map((edge) => edge.mass))
