import { gramsFromFloatKg, kgFloat, type Grams } from '../quantity/mass.js'
import { kgAfterDrying } from '../milling/dry-matter.js'
import { costOf, type Cents, type PricePerKg } from '../quantity/money.js'

/** The terms that a delivery is paid by: as it came, or as the same dry matter would weigh at an agreed moisture. */
export type Terms = { readonly price: PricePerKg; readonly agreedMoisturePct: number | null }
export type Payment = {
  /** Kilograms that are paid: those weighed, or fewer (more, when drier than agreed) at the agreed moisture. To the gram. */
  readonly paid: Grams
  readonly money: Cents
  /** What a kilogram as it came then costs, to a ten-thousandth: by this the lot stands in the books and in mixes. */
  readonly pricePerKgAsDelivered: PricePerKg
}

/**
 * What is owed for a delivery. Corrected to the agreed moisture the dry matter stays the same, so that water is not paid for:
 * paid kg = net x (100 - found) / (100 - agreed). Null when the terms need a moisture and none between 0 and 100 was found.
 */
export const paymentOf = (net: Grams, foundMoisturePct: number | null, { price, agreedMoisturePct }: Terms): Payment | null => {
  if (agreedMoisturePct === null) return { paid: net, money: costOf(net, price), pricePerKgAsDelivered: price }
  const possible = (pct: number | null): pct is number => pct !== null && pct > 0 && pct < 100
  if (!possible(foundMoisturePct) || !possible(agreedMoisturePct)) return null
  const paid = gramsFromFloatKg(kgAfterDrying(kgFloat(net), foundMoisturePct, agreedMoisturePct))
  const asDelivered = Math.round(kgAfterDrying(price, foundMoisturePct, agreedMoisturePct)) as PricePerKg
  return { paid, money: costOf(paid, price), pricePerKgAsDelivered: asDelivered }
}
