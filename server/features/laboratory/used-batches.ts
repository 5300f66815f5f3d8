import type { z } from 'zod'
import type { UsedBatchView } from '#contract/laboratory'
import { grams, kgFloat, parseKg, sumGrams, formatKg, type Grams } from '#core/quantity/mass'
import { loadJudges, type Judgement, type WeighedLots } from '#features/production/judge-load'
import type { Db, Prisma, Tx } from '#platform/database/client'

const withLines = {
  lines: { select: { lotId: true, targetKg: true, actualKg: true } },
  order: { select: { id: true, number: true, status: true } },
} as const satisfies Prisma.BatchInclude
type Row = Prisma.BatchGetPayload<{ include: typeof withLines }>

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

/** Loads that hold or will hold one of these lots, oldest first. One that was cancelled before it began never held anything. */
export const batchesOf = async (db: Db | Tx, lotIds: readonly string[]): Promise<Row[]> => {
  // One list goes to the database: an imported file can be about thousands of lots.
  const found = await db.$queryRaw<{ id: string }[]>`
    SELECT DISTINCT b.id FROM batch_line l JOIN batch b ON b.id = l.batch_id
    WHERE l.lot_id = ANY(${[...lotIds]}::uuid[]) AND (b.status <> 'cancelled' OR b.started_at IS NOT NULL)`
  if (found.length === 0) return []
  return db.batch.findMany({ where: { id: { in: found.map(({ id }) => id) } }, include: withLines, orderBy: { number: 'asc' } })
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

export const usedBatchView = (checked: Rechecked, lotId: string): z.output<typeof UsedBatchView> => ({
  batchId: checked.row.id,
  batchNumber: checked.row.number,
  orderNumber: checked.row.order.number,
  status: checked.row.status,
  startedAt: checked.row.startedAt?.toISOString() ?? null,
  handedOver: checked.row.order.status === 'collected',
  kg: formatKg(checked.weighed.get(lotId) ?? grams(0)),
  inside: isInside(checked),
  limits: [...checked.judgement.brokenLimits],
  findings: [...checked.judgement.findings],
})

/** Of these loads those that hold the lot at all. */
export const holding = (checked: readonly Rechecked[], lotId: string): Rechecked[] =>
  checked.filter(({ weighed: lots }) => kgFloat(lots.get(lotId) ?? grams(0)) > 0)
