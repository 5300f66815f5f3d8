import type { Db } from '#platform/database/client'
import { addDays, dateOf, loadToday } from '#platform/mill-day'
import { newId } from '#platform/new-id'
import { createUser } from '../users.js'
import { makeSupplier } from './suppliers.js'

export type OfferFacts = {
  readonly supplierId?: string
  readonly ingredientId?: string
  readonly pricePerKg?: string
  readonly packKg?: string
  readonly fewestPacks?: number
  readonly mostKg?: string | null
  readonly deliveryDays?: number
  /** Days from today, negative for an offer that has expired. */
  readonly validDays?: number
  readonly withdrawn?: boolean
}

/** An offer of a supplier, for bags of 50 kg and a month unless the facts say otherwise. Needs `prepareMill` first. */
export const makeOffer = async (db: Db, facts: OfferFacts = {}): Promise<{ id: string; number: number; supplierId: string }> => {
  const supplierId = facts.supplierId ?? (await makeSupplier(db)).id
  const notedBy = (await createUser(db, { role: 'store-keeper' })).id
  const now = new Date()
  const today = await loadToday(db, now)
  return db.supplierOffer.create({
    data: {
      id: newId(),
      supplierId,
      ingredientId: facts.ingredientId ?? 'maize_white',
      pricePerKg: facts.pricePerKg ?? '40.0000',
      packKg: facts.packKg ?? '50',
      fewestPacks: facts.fewestPacks ?? 1,
      mostKg: facts.mostKg ?? null,
      deliveryDays: facts.deliveryDays ?? 2,
      validUntil: dateOf(addDays(today, facts.validDays ?? 30)),
      notedAt: now,
      notedBy,
      ...(facts.withdrawn ? { withdrawnAt: now, withdrawnBy: notedBy, withdrawnReason: 'withdrawn by a test' } : {}),
    },
    select: { id: true, number: true, supplierId: true },
  })
}
