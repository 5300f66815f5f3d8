import { formatPricePerKg, parsePricePerKg, type Cents, type PricePerKg } from '#core/quantity/money'

/** Prices are told in steps of 0.10 of the currency: 1000 ten-thousandths. */
const STEP = 1_000

/** The price of a kilogram of feed: ingredients and making, rounded up to 0.10 so that the mill never sells below cost. */
export const priceFrom = ({ costOfTonne, makingChargePerKg }: { costOfTonne: Cents; makingChargePerKg: string }): string => {
  // Cents for 1000 kg are thousandths of cents, that is 1e-5 of the currency, for one kilogram: tenths of a ten-thousandth.
  const tenths = costOfTonne + 10 * parsePricePerKg(makingChargePerKg)
  return formatPricePerKg((Math.ceil(tenths / (10 * STEP)) * STEP) as PricePerKg)
}
