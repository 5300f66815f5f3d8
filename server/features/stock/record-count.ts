import { formatKg, grams } from '#core/quantity/mass'
import type { CommandContext } from '#platform/command'
import { whoHolds, type LockedLot } from './lock-lot.js'
import { putCount, type Counted } from './put-count.js'

type Recorded = { readonly transferId: string | null; readonly discrepancyNumber: number | null }
type CountFacts = { readonly countedAt: Date; readonly countedBy: string; readonly reason: string }

// A fact is not refused: the kilograms are gone, whoever they are set aside for. The manager plans those orders again.
const openMissing = async (ctx: CommandContext, lot: LockedLot, { book, change, missing }: Counted): Promise<number> => {
  const { tx, actor, now, newId, record } = ctx
  const id = newId()
  const kind = 'count-below-reserved'
  const facts = {
    lotNumber: lot.number,
    countedKg: formatKg(grams(book + change)),
    bookKg: formatKg(book),
    differenceKg: formatKg(change),
    kg: formatKg(missing),
    orders: (await whoHolds(tx, lot.id)).map(({ orderNumber, kg }) => `${orderNumber} (${kg} kg)`).join(', '),
  }
  const { number } = await tx.discrepancy.create({
    data: { id, kind, lotId: lot.id, facts, openedAt: now, openedBy: actor.userId },
    select: { number: true },
  })
  record('discrepancy.opened', 'discrepancy', id, { number, kind, lotId: lot.id, ...facts })
  return number
}

/** A count goes into the books and the history; what is missing of what is set aside becomes a discrepancy that names the orders. */
export const recordCount = async (
  ctx: CommandContext,
  lot: LockedLot,
  counted: Counted,
  { countedAt, countedBy, reason }: CountFacts,
): Promise<Recorded> => {
  const id = ctx.newId()
  await putCount(ctx.tx, { id, happenedAt: countedAt, actorId: countedBy, reason, lot, counted })
  const facts = {
    lotNumber: lot.number,
    bookKg: formatKg(counted.book),
    differenceKg: formatKg(counted.change),
    missingKg: formatKg(counted.missing),
    reason,
  }
  ctx.record('lot.counted', 'lot', lot.id, facts)
  return {
    transferId: counted.taken === 0 ? null : id,
    discrepancyNumber: counted.missing === 0 ? null : await openMissing(ctx, lot, counted),
  }
}
