import { formatKg, grams, type Grams } from '#core/quantity/mass'
import type { Tx } from '#platform/database/client'
import { Prisma } from '#platform/database/generated/client'
import { shortOf } from './lock-lot.js'
import { postTransfer, type Entry, type Movement, type TransferKind } from './post-transfer.js'

type FreeChange = { readonly lotId: string; readonly change: Grams; readonly path: string; readonly actorId: string }

/**
 * Adds to (or takes from) what is on hand of a lot and nobody holds, by one UPDATE that leaves the reserved kilograms alone. A released
 * lot with nothing left becomes `used-up`. A used-up lot of which something turns up is released again, unless a lot that is in it has been
 * held or rejected meanwhile: it passed by while there was nothing of this one to hold, so that this one goes on hold now. Throws
 * `stock-short` at `path` with who holds the rest.
 */
export const changeFree = async (tx: Tx, { lotId, change, path, actorId }: FreeChange): Promise<void> => {
  const kg = formatKg(change)
  const usesUp = Prisma.sql`status = 'released' AND on_hand_kg + ${kg}::numeric = 0`
  const turnsUp = Prisma.sql`status = 'used-up' AND on_hand_kg + ${kg}::numeric > 0`
  const mayNotBeUsed = Prisma.sql`${turnsUp} AND held.reason IS NOT NULL`
  const changed = await tx.$executeRaw`
    WITH RECURSIVE part AS (
      SELECT parent_id AS id FROM lot_parent WHERE lot_id = ${lotId}::uuid
      UNION SELECT p.parent_id FROM lot_parent p JOIN part ON p.lot_id = part.id),
    held AS (
      SELECT string_agg('lot ' || lot.number || ': ' || lot.status, '; ' ORDER BY lot.number) AS reason
      FROM lot JOIN part ON lot.id = part.id WHERE lot.status IN ('on-hold', 'rejected'))
    UPDATE lot SET on_hand_kg = on_hand_kg + ${kg}::numeric,
      status = CASE WHEN ${usesUp} THEN 'used-up' WHEN ${mayNotBeUsed} THEN 'on-hold' WHEN ${turnsUp} THEN 'released' ELSE status END,
      status_reason = CASE WHEN ${mayNotBeUsed} THEN held.reason ELSE status_reason END,
      decided_by = CASE WHEN ${mayNotBeUsed} THEN ${actorId}::uuid ELSE decided_by END,
      decided_at = CASE WHEN ${mayNotBeUsed} THEN now() ELSE decided_at END,
      revision = revision + (${usesUp} OR ${turnsUp})::int
    FROM held
    WHERE lot.id = ${lotId}::uuid AND on_hand_kg + ${kg}::numeric >= reserved_kg`
  if (changed !== 1) throw await shortOf(tx, lotId, path, grams(-change))
}

type Against = Pick<Entry, 'account' | 'supplierId'>
type Change = Movement & { readonly lotId: string; readonly change: Grams; readonly kind: TransferKind; readonly against: Against }

/** One movement between a lot's free kilograms and a counter-account. Nothing moves where the change is nothing. */
export const moveFree = async (tx: Tx, path: string, { lotId, change, kind, against, ...movement }: Change): Promise<void> => {
  if (change === 0) return
  await changeFree(tx, { lotId, change, path, actorId: movement.actorId })
  const entries = [
    { account: 'lot-free', lotId, grams: change },
    { ...against, lotId, grams: grams(-change) },
  ] as const
  await postTransfer(tx, { ...movement, kind, entries })
}

type Taken = Movement & { readonly reason: string; readonly lotId: string; readonly kg: Grams }

/** Spoilt or spilled kilograms of a lot leave the stock as a loss: only free ones. */
export const writeOffFree = (tx: Tx, { kg, ...taken }: Taken): Promise<void> =>
  moveFree(tx, 'kg', { ...taken, change: grams(-kg), kind: 'write-off', against: { account: 'loss' } })

/** Kilograms of a lot go back to its supplier: only free ones. */
export const returnFree = (tx: Tx, { kg, supplierId, ...taken }: Taken & { readonly supplierId: string }): Promise<void> =>
  moveFree(tx, 'kg', { ...taken, change: grams(-kg), kind: 'return', against: { account: 'supplier', supplierId } })
