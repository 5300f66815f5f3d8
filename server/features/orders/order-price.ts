import { grams, parseKg, sumGrams, type Grams } from '#core/quantity/mass'
import { costOf, formatMoney, parsePricePerKg } from '#core/quantity/money'

type Decimal = { toFixed(places: number): string }
type Load = { readonly status: string; readonly madeKg: Decimal | null }
type Priced = { readonly kg: Decimal; readonly pricePerKg: Decimal }

const massOf = (kg: Decimal): Grams => parseKg(kg.toFixed(3))

/** What lies in the bags of the loads that are done. */
export const baggedOf = (loads: readonly Load[]): Grams =>
  sumGrams(loads.flatMap(({ status, madeKg }) => (status === 'done' && madeKg !== null ? [massOf(madeKg)] : [])))

/** What the member was told: the ordered kilograms at the price of the day of ordering. */
export const priceTold = ({ kg, pricePerKg }: Priced): string => formatMoney(costOf(massOf(kg), parsePricePerKg(pricePerKg.toFixed(4))))

/** What the member pays: the kilograms in the bags at that same price; more than was ordered is not charged. */
export const priceOfBags = ({ kg, pricePerKg }: Priced, bagged: Grams): string =>
  formatMoney(costOf(grams(Math.min(bagged, massOf(kg))), parsePricePerKg(pricePerKg.toFixed(4))))
