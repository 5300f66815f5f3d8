import type { Grams } from '../quantity/mass.js'
import type { AddingRole } from './round-load.js'
import { scaleFor, type Scales } from './scales.js'

/** What the scales can show of one lot: whole steps of one of the two. Of the carrier, whatever is left of the load. */
export type Cell = {
  readonly lotId: string
  readonly ingredientId: string
  readonly pricePerKg: number
  /** No more of it in grams than is free or fits in the load. */
  readonly most: number
  readonly isCarrier: boolean
  /** The floor scale takes it from so many steps on, up to so many; 0 where it goes on the table scale in any case. */
  readonly floorLeast: number
  readonly floorMost: number
  /** The table scale takes up to so many steps; 0 where it goes on the floor scale in any case. */
  readonly tableMost: number
  /** Grams in a bag, null where its bags cannot be counted as weighed. */
  readonly bag: number | null
}

/** A lot to be weighed: what may be taken of it, what of it goes into the load where nothing is rounded, and a full bag of it. */
export type CellLot = {
  readonly id: string
  readonly ingredientId: string
  readonly pricePerKg: number
  readonly free: Grams
  readonly about: number | null
  readonly bag: Grams | null
}

/** Which scale a lot goes on is open where it is about the most of the table scale, or where it is not known how much of it there will be. */
const NEAR = 2

/** The cell of a lot in a load of that mass. */
export function cellOf(lot: CellLot, load: Grams, { floorStep, tableStep, tableMax }: Scales, carrierId: string): Cell {
  const most = Math.min(lot.free, load)
  const steps = Math.floor(most / floorStep)
  const floorLeast = Math.ceil(tableMax / floorStep)
  const maybe = { floor: lot.about === null || lot.about * NEAR > tableMax, table: lot.about === null || lot.about < tableMax * NEAR }
  return {
    lotId: lot.id,
    ingredientId: lot.ingredientId,
    pricePerKg: lot.pricePerKg,
    most,
    isCarrier: lot.id === carrierId,
    floorLeast,
    floorMost: maybe.floor && steps >= floorLeast ? steps : 0,
    tableMost: maybe.table || steps < floorLeast ? Math.floor(Math.min(most, tableMax - 1) / tableStep) : 0,
    bag: lot.bag !== null && lot.bag >= tableMax && lot.bag % floorStep === 0 ? lot.bag : null,
  }
}

type Candidate = { readonly id: string; readonly role: AddingRole; readonly grams: number }

/** The biggest grain that goes on the floor scale, or the biggest of whatever does, or the biggest at all; liquids last. */
export function carrierOf(candidates: readonly Candidate[], scales: Scales): string | undefined {
  const rank = ({ role, grams }: Candidate) => [
    role === 'liquid' ? 0 : 1,
    scaleFor(scales, grams) === 'floor' ? 1 : 0,
    role === 'grain' ? 1 : 0,
    grams,
  ]
  return [...candidates].sort((a, b) => {
    const [left, right] = [rank(a), rank(b)]
    const at = left.findIndex((value, i) => value !== right[i])
    return at < 0 ? 0 : (right[at] ?? 0) - (left[at] ?? 0)
  })[0]?.id
}
