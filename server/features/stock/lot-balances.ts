import { MillError } from '#core/errors'
import { formatKg, grams, type Grams } from '#core/quantity/mass'
import type { Tx } from '#platform/database/client'
import { byLot, gramsOf, postTransfer, type Entry, type Line, type Movement } from './post-transfer.js'

const minus = (mass: Grams): Grams => grams(-mass)

/** A delivered lot comes into the store: supplier -> free. The lot's row exists already, with nothing on hand. */
export const receiveIntoStock = async (
  tx: Tx,
  { lotId, supplierId, kg, ...movement }: Movement & { readonly lotId: string; readonly supplierId: string; readonly kg: string },
): Promise<void> => {
  const mass = gramsOf(kg)
  await tx.$executeRaw`UPDATE lot SET on_hand_kg = on_hand_kg + ${formatKg(mass)}::numeric WHERE id = ${lotId}::uuid`
  await postTransfer(tx, {
    ...movement,
    kind: 'receipt',
    entries: [
      { account: 'supplier', supplierId, lotId, grams: minus(mass) },
      { account: 'lot-free', lotId, grams: mass },
    ],
  })
}

type Use = { readonly today: string; readonly stage: string }

/** What stands against taking so much of a lot; null where nothing does any more, because another has changed the lot since. */
const refusal = async (tx: Tx, lotId: string, needed: Grams, { today, stage }: Use): Promise<MillError | null> => {
  const lot = await tx.lot.findUnique({ where: { id: lotId } })
  if (lot === null) return new MillError('not-found', { lotId })
  const free = lot.onHandKg.minus(lot.reservedKg)
  const facts = { lotId, lotNumber: lot.number, neededKg: formatKg(needed), freeKg: free.toFixed(3) }
  if (lot.status !== 'released') return new MillError('lot-not-released', { ...facts, status: lot.status })
  const expiresOn = lot.expiresOn?.toISOString().slice(0, 10)
  if (expiresOn !== undefined && expiresOn < today) return new MillError('lot-expired', { ...facts, expiresOn })
  const retestOn = lot.retestOn?.toISOString().slice(0, 10)
  if (retestOn !== undefined && retestOn < today) return new MillError('lot-not-released', { ...facts, retestOn })
  if (lot.releasedFor.length > 0 && !lot.releasedFor.includes(stage))
    return new MillError('lot-not-released', { ...facts, stage, releasedFor: lot.releasedFor })
  return gramsOf(free.toFixed(3)) < needed ? new MillError('stock-short', facts) : null
}

const reservationEntries = (lines: readonly { readonly lotId: string; readonly grams: Grams }[], direction: 1 | -1): Entry[] =>
  lines.flatMap(({ lotId, grams: mass }): Entry[] => [
    { account: 'lot-free', lotId, grams: grams(-direction * mass) },
    { account: 'lot-reserved', lotId, grams: grams(direction * mass) },
  ])

/** So often may a lot be released between the refusal and the question why. */
const MOST_TRIES = 3

async function reserveLot(tx: Tx, lotId: string, mass: Grams, { today, stage }: Use): Promise<void> {
  const kg = formatKg(mass)
  for (let tries = 1; ; tries += 1) {
    const changed = await tx.$executeRaw`
      UPDATE lot SET reserved_kg = reserved_kg + ${kg}::numeric
      WHERE id = ${lotId}::uuid AND status = 'released' AND (expires_on IS NULL OR expires_on >= ${today}::date)
        AND (retest_on IS NULL OR retest_on >= ${today}::date) AND (released_for = '{}' OR ${stage} = ANY(released_for))
        AND on_hand_kg - reserved_kg >= ${kg}::numeric`
    if (changed === 1) return
    const against = await refusal(tx, lotId, mass, { today, stage })
    if (against) throw against
    if (tries === MOST_TRIES) throw new MillError('busy', { lotId })
  }
}

type Reservation = Movement & { readonly orderId?: string; readonly lines: readonly Line[] }

/**
 * Sets kilograms of lots aside for an order: all lines or none. One UPDATE a lot holds the limit and the lot's state in its WHERE, so two
 * who ask at once for the last sack cannot both get it. Throws `lot-not-released`, `lot-expired` or `stock-short` with
 * `{ lotNumber, neededKg, freeKg }`. `today` is the mill's date; a lot may be used on the day it expires and on that of its re-test.
 * `stage` is that of the feed: without one, lots that were released for some stages only are refused.
 */
export const reserveLots = async (
  tx: Tx,
  { lines, today, stage = '', ...movement }: Reservation & { readonly today: string; readonly stage?: string },
): Promise<void> => {
  const wanted = byLot(lines)
  for (const { lotId, grams: mass } of wanted) await reserveLot(tx, lotId, mass, { today, stage })
  await postTransfer(tx, { ...movement, kind: 'reservation', entries: reservationEntries(wanted, 1) })
}

/** Gives reserved kilograms back, whatever the lot's state is now. Throws `wrong-state` when less is reserved. */
export const releaseReservation = async (tx: Tx, { lines, ...movement }: Reservation & { readonly reason: string }): Promise<void> => {
  const given = byLot(lines)
  for (const { lotId, grams: mass } of given) {
    const kg = formatKg(mass)
    const changed = await tx.$executeRaw`
      UPDATE lot SET reserved_kg = reserved_kg - ${kg}::numeric WHERE id = ${lotId}::uuid AND reserved_kg >= ${kg}::numeric`
    if (changed !== 1) throw new MillError('wrong-state', { lotId, releasedKg: kg })
  }
  await postTransfer(tx, { ...movement, kind: 'release', entries: reservationEntries(given, -1) })
}
