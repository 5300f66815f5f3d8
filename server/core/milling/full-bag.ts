import { grams, parseKg, type Grams } from '../quantity/mass.js'

/** A bag was filled to a mark of whole kilograms; where a delivery's mean is none, its bags differ and have to be weighed. */
const MARK = parseKg('1.000')

/** What each full bag of a delivery holds, or null where its bags cannot be counted instead of weighed. */
export const fullBagOf = (net: Grams, bags: number | null): Grams | null => {
  const each = bags === null || bags <= 0 ? 0 : net / bags
  return each > 0 && each % MARK === 0 ? grams(each) : null
}

export type BagsAndRest = { readonly count: number; readonly bag: Grams; readonly rest: Grams }

/** A target as full bags and what is weighed besides; null where not even one bag is full, or bags differ. */
export const bagsAndRest = (target: Grams, bag: Grams | null): BagsAndRest | null => {
  const count = bag === null ? 0 : Math.floor(target / bag)
  return bag === null || count === 0 ? null : { count, bag, rest: grams(target - count * bag) }
}
