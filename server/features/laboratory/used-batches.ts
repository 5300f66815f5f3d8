import type { z } from 'zod'
import type { UsedBatchView } from '#contract/laboratory'
import { grams, kgFloat, parseKg, sumGrams, formatKg, type Grams } from '#core/quantity/mass'
import { loadJudges, type Judgement, type WeighedLots } from '#features/production/judge-load'
import type { Db, Prisma, Tx } from '#platform/database/client'

const withLines = {
  lines: { select: { lotId: true, targetKg: true, actualKg: true } },
  order: { select: { id: true, number: true, status: true } },
} as const satisfies Prisma.BatchInclude
/** `from`: of the lots asked for, those that the load holds, each with the lots that stand for it on the sheet: itself and what was made of it. */
type Row = Prisma.BatchGetPayload<{ include: typeof withLines }> & { readonly from: ReadonlyMap<string, readonly string[]> }

/** What is not about the content of a load: a lot that is used up, expired or limited since then was none of it when the load was made. */
const ABOUT_USE = new Set(['LOT-STATUS', 'LOT-EXPIRED', 'LOT-RETEST', 'LOT-STAGE'])

const weighed = (row: Row): WeighedLots => {
  const lots = new Map<string, Grams>()
  for (const { lotId, actualKg, targetKg } of row.lines) {
    if (lotId === null) continue
    lots.set(lotId, sumGrams([lots.get(lotId) ?? grams(0), parseKg((actualKg ?? targetKg).toFixed(3))]))
  }
  return lots
}

type Held = { readonly batch_id: string; readonly source: string; readonly lot_ids: readonly string[] }

/** A result of a lot is news of everything that was ground, dried or heaped from it too, however many makings later. */
const loadHeld = (db: Db | Tx, lotIds: readonly string[]): Promise<Held[]> => db.$queryRaw<Held[]>`
  WITH RECURSIVE held AS (
    SELECT id AS source, id AS lot_id FROM unnest(${[...lotIds]}::uuid[]) AS id
    UNION SELECT h.source, p.lot_id FROM held h JOIN lot_parent p ON p.parent_id = h.lot_id)
  SELECT b.id AS batch_id, h.source, array_agg(DISTINCT h.lot_id) AS lot_ids
  FROM held h JOIN batch_line l ON l.lot_id = h.lot_id JOIN batch b ON b.id = l.batch_id
  WHERE b.status <> 'cancelled' OR b.started_at IS NOT NULL
  GROUP BY b.id, h.source`

/** Loads that hold or will hold one of these lots, oldest first. One that was cancelled before it began never held anything. */
export const batchesOf = async (db: Db | Tx, lotIds: readonly string[]): Promise<Row[]> => {
  // One list goes to the database: an imported file can be about thousands of lots.
  const held = await loadHeld(db, lotIds)
  if (held.length === 0) return []
  const from = new Map<string, Map<string, readonly string[]>>()
  for (const { batch_id: id, source, lot_ids: ids } of held)
    from.set(id, (from.get(id) ?? new Map<string, readonly string[]>()).set(source, ids))
  const rows = await db.batch.findMany({ where: { id: { in: [...from.keys()] } }, include: withLines, orderBy: { number: 'asc' } })
  return rows.map((row) => ({ ...row, from: from.get(row.id) ?? new Map<string, readonly string[]>() }))
}

export type Rechecked = { readonly row: Row; readonly weighed: WeighedLots; readonly judgement: Judgement }

/** Each load against its limits and the safety checks with what is believed of its lots now. */
export const recheck = async (db: Db | Tx, rows: readonly Row[], now: Date): Promise<Rechecked[]> => {
  if (rows.length === 0) return []
  const ids = rows.map(({ id }) => id)
  const judges = await loadJudges(db, ids, now)
  return rows.flatMap((row) => {
    const judge = judges.get(row.id)
    if (judge === undefined) return []
    const lots = weighed(row)
    const { brokenLimits, findings } = judge(lots)
    const blocks = findings.filter(({ severity, ruleId }) => severity === 'block' && !ABOUT_USE.has(ruleId))
    return [{ row, weighed: lots, judgement: { brokenLimits, findings: blocks } }]
  })
}

export const isInside = ({ judgement }: Rechecked): boolean => judgement.brokenLimits.length + judgement.findings.length === 0

const massOf = ({ row, weighed: lots }: Rechecked, lotId: string): Grams =>
  sumGrams((row.from.get(lotId) ?? []).map((id) => lots.get(id) ?? grams(0)))

export const usedBatchView = (checked: Rechecked, lotId: string): z.output<typeof UsedBatchView> => ({
  batchId: checked.row.id,
  batchNumber: checked.row.number,
  orderNumber: checked.row.order.number,
  status: checked.row.status,
  startedAt: checked.row.startedAt?.toISOString() ?? null,
  handedOver: checked.row.order.status === 'collected',
  kg: formatKg(massOf(checked, lotId)),
  inside: isInside(checked),
  limits: [...checked.judgement.brokenLimits],
  findings: [...checked.judgement.findings],
})

/** Of these loads those that hold the lot at all. */
export const holding = (checked: readonly Rechecked[], lotId: string): Rechecked[] =>
  checked.filter((one) => kgFloat(massOf(one, lotId)) > 0)
