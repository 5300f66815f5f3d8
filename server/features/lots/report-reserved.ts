import type { CommandContext } from '#platform/command'
import type { LotRow } from './lot-view.js'

type Why = { readonly kind: 'held-lot-reserved' | 'limited-lot-reserved' | 'rejected-lot-reserved'; readonly reason: string }

/** What was set aside from a lot stays so in the books: its loads cannot begin, so the manager is told to plan their orders again. */
export const reportReserved = async ({ tx, actor, now, newId }: CommandContext, lot: LotRow, { kind, reason }: Why): Promise<void> => {
  if (!lot.reservedKg.gt(0)) return
  const facts = { lotNumber: lot.number, reservedKg: lot.reservedKg.toFixed(3), reason }
  await tx.discrepancy.create({ data: { id: newId(), kind, lotId: lot.id, facts, openedAt: now, openedBy: actor.userId } })
}
