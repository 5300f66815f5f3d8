import { grams, shareGrams, type Grams } from '../quantity/mass.js'

/** What one person may take out of or add to a lot alone: per cent of the lot as received, or so many kilograms, whichever is more. */
export type AloneRule = { readonly pct: string; readonly atLeast: Grams }

/** Whether a change of a lot waits for a second person: it is more than one may change alone, to the gram. */
export const needsSecondPerson = (change: Grams, received: Grams, { pct, atLeast }: AloneRule): boolean =>
  Math.abs(change) > Math.max(shareGrams(received, pct), atLeast)

/** How a count is put into the books: `taken` changes the lot (free kilograms only), `missing` is gone though it is set aside for orders. */
export type CountSplit = { readonly change: Grams; readonly taken: Grams; readonly missing: Grams }

/**
 * A count against the books. `book` is what the books held when it was counted, `free` what nobody holds now. More than the books is
 * added whole; less is taken out of free kilograms first, and what is then still missing is somebody's.
 */
export const splitCount = (counted: Grams, book: Grams, free: Grams): CountSplit => {
  const change = grams(counted - book)
  const taken = grams(Math.max(change, -free))
  return { change, taken, missing: grams(taken - change) }
}
