/** The stock as a plain list of movements in whole grams: what the ledger must agree with. Nothing of the mill is used here. */
export type Moved = {
  readonly id: string
  readonly kind: string
  readonly happened: number
  readonly entered: number
  readonly free: number
  readonly reserved: number
  reversed: boolean
}
export type Shelf = { status: 'released' | 'used-up' | 'on-hold'; readonly moved: Moved[] }
export type Figures = { readonly onHand: number; readonly reserved: number }
export type Refusal = 'stock-short' | 'lot-not-released' | 'wrong-state'
/** When a movement happened and was entered, in minutes of the run. */
export type When = { readonly id: string; readonly happened: number; readonly entered: number }

export const figuresAt = ({ moved }: Shelf, clock: 'happened' | 'entered', at: number): Figures => {
  let [onHand, reserved] = [0, 0]
  for (const one of moved) {
    if (one[clock] > at) continue
    onHand += one.free + one.reserved
    reserved += one.reserved
  }
  return { onHand, reserved }
}
export const figures = (shelf: Shelf): Figures => figuresAt(shelf, 'entered', Infinity)
const freeOf = (shelf: Shelf): number => figures(shelf).onHand - figures(shelf).reserved

const write = (shelf: Shelf, kind: string, when: When, free: number, reserved: number): void => {
  shelf.moved.push({ ...when, kind, free, reserved, reversed: false })
}
// Free kilograms change: a lot is used up when nothing is left, and comes back when something turns up.
const change = (shelf: Shelf, kind: string, when: When, free: number): void => {
  write(shelf, kind, when, free, 0)
  const { onHand } = figures(shelf)
  if (shelf.status === 'released' && onHand === 0) shelf.status = 'used-up'
  else if (shelf.status === 'used-up' && onHand > 0) shelf.status = 'released'
}

export const receive = (when: When, grams: number): Shelf => {
  const shelf: Shelf = { status: 'released', moved: [] }
  write(shelf, 'receipt', when, grams, 0)
  return shelf
}

export const reserve = (shelf: Shelf, when: When, grams: number): Refusal | undefined => {
  if (shelf.status !== 'released') return 'lot-not-released'
  if (freeOf(shelf) < grams) return 'stock-short'
  write(shelf, 'reservation', when, -grams, grams)
  return undefined
}

export const release = (shelf: Shelf, when: When, grams: number): Refusal | undefined => {
  if (figures(shelf).reserved < grams) return 'wrong-state'
  write(shelf, 'release', when, grams, -grams)
  return undefined
}

/** Gives what came out of nowhere, or a refusal. */
export const issue = (shelf: Shelf, when: When, reserved: number, actual: number): Refusal | number => {
  if (figures(shelf).reserved < reserved) return 'wrong-state'
  const taken = Math.min(actual, freeOf(shelf) + reserved)
  write(shelf, 'issue', when, reserved - taken, -reserved)
  if (shelf.status === 'released' && figures(shelf).onHand === 0) shelf.status = 'used-up'
  return actual - taken
}

/** Gives what is missing though orders hold it, or a refusal. */
export const count = (shelf: Shelf, when: When, counted: number): Refusal | number => {
  if (shelf.moved.some(({ kind, reversed, happened }) => kind === 'count' && !reversed && happened >= when.happened)) return 'wrong-state'
  const book = figuresAt(shelf, 'happened', when.happened).onHand
  if (book < 0) return 'wrong-state'
  const taken = Math.max(counted - book, -freeOf(shelf))
  const missing = taken - (counted - book)
  if (taken !== 0) change(shelf, 'count', when, taken)
  if (missing > 0 && shelf.status === 'released') shelf.status = 'on-hold'
  return missing
}

export const takeAway = (shelf: Shelf, kind: 'write-off' | 'return', when: When, grams: number): Refusal | undefined => {
  if (freeOf(shelf) < grams) return 'stock-short'
  change(shelf, kind, when, -grams)
  return undefined
}

/** Kilograms of a lot become another one. Gives the new shelf, or a refusal. */
export const make = (shelf: Shelf, when: When, grams: number, got: number): Refusal | Shelf => {
  if (shelf.status === 'on-hold') return 'lot-not-released'
  if (freeOf(shelf) < grams) return 'stock-short'
  change(shelf, 'grinding', when, -grams)
  const made: Shelf = { status: 'released', moved: [] }
  write(made, 'grinding', when, got, 0)
  return made
}

/** A made lot goes back into the one that it came from, whatever that one's state, if nothing of it was used. */
export const undoMaking = (made: Shelf, parent: Shelf, { id, entered }: { id: string; entered: number }): Refusal | undefined => {
  const [first] = made.moved
  const taken = parent.moved.find((moved) => moved.id === first?.id)
  if (first?.kind !== 'grinding' || first.reversed || taken === undefined) return 'wrong-state'
  const { onHand, reserved } = figures(made)
  if (onHand !== first.free || reserved !== 0) return 'wrong-state'
  first.reversed = true
  taken.reversed = true
  const when = { id, happened: first.happened, entered }
  write(made, 'reversal', when, -first.free, 0)
  made.status = 'used-up'
  change(parent, 'reversal', when, -taken.free)
  return undefined
}

const REVERSIBLE = ['receipt', 'count', 'write-off', 'return']
export const reverse = (shelf: Shelf, moved: Moved, { id, entered }: { id: string; entered: number }): Refusal | undefined => {
  if (!REVERSIBLE.includes(moved.kind) || moved.reversed) return 'wrong-state'
  if (freeOf(shelf) - moved.free < 0) return 'stock-short'
  moved.reversed = true
  change(shelf, 'reversal', { id, happened: moved.happened, entered }, -moved.free)
  return undefined
}
