import { loadKnowledge } from '#features/lots/load-beliefs'
import { lotBesideStore, NEXT_NUMBER, UNLIMITED_KG, type MixLot } from '#features/lots/lots-for-mix'
import type { Db } from '#platform/database/client'
import { addDays, loadToday, plainDate } from '#platform/mill-day'
import { inState, withNames, type OfferRow } from './offer-view.js'

/** What must be known of an offer to buy from it. Kilograms as decimal strings. */
export type BuyableOffer = {
  readonly id: string
  readonly number: number
  readonly supplierId: string
  readonly supplierName: string
  readonly ingredientId: string
  readonly packKg: string
  readonly fewestPacks: number
  /** Null: the supplier did not say. */
  readonly mostKg: string | null
  readonly validUntil: string
  /** If it is ordered today. */
  readonly arrivesOn: string
}
/** An offer and the lot that would come of it. */
export type OfferedLot = { readonly offer: BuyableOffer; readonly lot: MixLot }

const buyable = (row: OfferRow, today: string): BuyableOffer => ({
  id: row.id,
  number: row.number,
  supplierId: row.supplierId,
  supplierName: row.supplier.name,
  ingredientId: row.ingredientId,
  packKg: row.packKg.toFixed(3),
  fewestPacks: row.fewestPacks,
  mostKg: row.mostKg?.toFixed(3) ?? null,
  validUntil: plainDate(row.validUntil),
  arrivesOn: addDays(today, row.deliveryDays),
})

/**
 * The offers that stand today, each with the lot that would come of it: believed as the next lot of that supplier is, by the book and the
 * supplier's record, at the price of the offer.
 */
export const loadOfferedLots = async (db: Db, now: Date): Promise<OfferedLot[]> => {
  const today = await loadToday(db, now)
  const rows = await db.supplierOffer.findMany({ where: inState('standing', today), include: withNames, orderBy: { number: 'asc' } })
  const next = rows.map(({ id, supplierId, ingredientId }) => ({ id, supplierId, ingredientId, number: NEXT_NUMBER }))
  const knowledge = await loadKnowledge(db, next)
  return rows.map((row) => {
    const lot = lotBesideStore({
      id: row.id,
      ingredient: { ...row.ingredient, id: row.ingredientId },
      known: knowledge.get(row.id) ?? {},
      pricePerKg: row.pricePerKg.toFixed(4),
      freeKg: row.mostKg?.toFixed(3) ?? UNLIMITED_KG,
      // what has not come yet cannot have been tested, and is before it is released
      status: 'on-hold',
    })
    return { offer: buyable(row, today), lot }
  })
}
