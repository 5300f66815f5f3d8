import type { CommandContext } from '#platform/command'
import type { Tx } from '#platform/database/client'
import type { LotRow } from './lot-view.js'

type Why = { readonly kind: 'held-lot-reserved' | 'limited-lot-reserved' | 'rejected-lot-reserved'; readonly reason: string }

/** What was set aside from a lot stays so in the books: its loads cannot begin, so the manager is told to plan their orders again. */
export const reportReserved = async ({ tx, actor, now, newId }: CommandContext, lot: LotRow, { kind, reason }: Why): Promise<void> => {
  if (!lot.reservedKg.gt(0)) return
  const facts = { lotNumber: lot.number, reservedKg: lot.reservedKg.toFixed(3), reason }
  await tx.discrepancy.create({ data: { id: newId(), kind, lotId: lot.id, facts, openedAt: now, openedBy: actor.userId } })
}

/** Whether an open load of another stage than these is to hold some of the lot. */
export const setAsideForOthers = async (tx: Tx, lotId: string, stages: readonly string[]): Promise<boolean> => {
  const rows = await tx.$queryRaw<unknown[]>`
    SELECT 1 FROM batch_line l JOIN batch b ON b.id = l.batch_id JOIN "order" o ON o.id = b.order_id
    JOIN formula_version v ON v.id = o.formula_version_id JOIN formula f ON f.id = v.formula_id
    WHERE l.lot_id = ${lotId}::uuid AND b.finished_at IS NULL AND b.status <> 'cancelled' AND NOT f.stage = ANY(${[...stages]}::text[])
    LIMIT 1`
  return rows.length > 0
}
