import { MillError, fieldError } from '#core/errors'
import { splitCount, type CountSplit } from '#core/stock/second-person'
import type { Grams } from '#core/quantity/mass'
import type { Tx } from '#platform/database/client'
import { moveFree } from './change-free.js'
import type { LockedLot } from './lock-lot.js'
import { gramsOf, type Movement } from './post-transfer.js'

type Kg = { toFixed(places: number): string }

/** What the books held of a lot at a moment, by when things happened: what was entered late counts from when it happened. */
const bookAt = async (tx: Tx, lotId: string, at: Date): Promise<Grams> => {
  const [row] = await tx.$queryRaw<{ kg: Kg | null }[]>`
    SELECT sum(e.kg) AS kg FROM stock_entry e JOIN stock_transfer t ON t.id = e.transfer_id
    WHERE e.lot_id = ${lotId}::uuid AND e.account IN ('lot-free', 'lot-reserved') AND t.happened_at <= ${at}`
  const kg = row?.kg?.toFixed(3) ?? '0'
  // More was taken than the books had at that moment: something was entered with the wrong time, and no count can be compared with it.
  if (kg.startsWith('-')) throw fieldError('wrong-state', 'countedAt', 'books-below-zero', 'a moment at which the books held something')
  return gramsOf(kg)
}

// A count settles the books up to its moment. One of an earlier moment would put its own difference on top of that.
const refuseOlder = async (tx: Tx, lot: LockedLot, at: Date): Promise<void> => {
  const [later] = await tx.$queryRaw<{ happened_at: Date }[]>`
    SELECT t.happened_at FROM stock_transfer t JOIN stock_entry e ON e.transfer_id = t.id AND e.account = 'lot-free'
    WHERE e.lot_id = ${lot.id}::uuid AND t.kind = 'count' AND t.happened_at >= ${at}
      AND NOT EXISTS (SELECT FROM stock_transfer r WHERE r.reverses_id = t.id)
    ORDER BY t.happened_at DESC LIMIT 1`
  if (later === undefined) return
  const facts = { lotNumber: lot.number, countedAt: later.happened_at.toISOString() }
  throw new MillError('wrong-state', facts, [
    { path: 'countedAt', code: 'counted-later', message: `after the count of ${facts.countedAt}`, facts },
  ])
}

export type Counted = CountSplit & { readonly book: Grams }

/** What a count says against the books of its moment. `lot` is locked. Throws at `countedAt` when the lot was counted later already. */
export const compareCount = async (tx: Tx, lot: LockedLot, counted: Grams, countedAt: Date): Promise<Counted> => {
  await refuseOlder(tx, lot, countedAt)
  const book = await bookAt(tx, lot.id, countedAt)
  return { book, ...splitCount(counted, book, lot.free) }
}

type PutCount = Movement & { readonly reason: string; readonly lot: LockedLot; readonly counted: Counted }

/**
 * A count goes into the books. What is missing beyond the free kilograms is set aside for orders, so the books keep it until the orders
 * are planned again; the lot goes on hold, so that nothing more is set aside from it.
 */
export const putCount = async (tx: Tx, { lot, counted, ...movement }: PutCount): Promise<void> => {
  await moveFree(tx, 'countedKg', { ...movement, lotId: lot.id, change: counted.taken, kind: 'count', against: { account: 'unexplained' } })
  if (counted.missing === 0) return
  await tx.$executeRaw`
    UPDATE lot SET status = 'on-hold', status_reason = ${movement.reason}, decided_by = ${movement.actorId}::uuid, decided_at = now(),
      revision = revision + 1
    WHERE id = ${lot.id}::uuid AND status = 'released'`
}
