import type { FormulaLimits } from '../formulation/limits.js'
import type { MixLot } from '../formulation/mix-lot.js'
import { grams, gramsFromFloatKg, type Grams } from '../quantity/mass.js'
import { loadChecker, type LoadViolation } from './check-load.js'
import { loadDistance } from './load-distance.js'
import { orderOfAdding, type Sheet } from './order-of-adding.js'
import { recheckSheet, type SheetFault } from './recheck-load.js'
import { roundLoad, type AddingRole, type WeighedLine } from './round-load.js'
import type { Scales } from './scales.js'

/** A lot of the mix with its place in the mixer. */
export type LoadLot = MixLot & { readonly role: AddingRole; readonly isDrug: boolean }

export type LoadsRequest = {
  readonly lots: readonly LoadLot[]
  readonly limits: FormulaLimits
  /** Kilograms by lot as solved, for all loads together. */
  readonly amounts: { readonly [lotId: string]: number }
  readonly loads: readonly Grams[]
  readonly scales: Scales
}
export type MadeLoad = { readonly load: Grams; readonly lines: readonly WeighedLine[]; readonly sheet: Sheet }
export type LoadsOutcome =
  | { readonly kind: 'made'; readonly loads: readonly MadeLoad[] }
  | {
      readonly kind: 'cannot'
      readonly loadIndex: number
      readonly reason: 'not-weighable' | 'limits'
      readonly violations: readonly LoadViolation[]
    }
  | { readonly kind: 'cannot'; readonly loadIndex: number; readonly reason: 'recheck'; readonly faults: readonly SheetFault[] }

/**
 * Every load of an order, weighable and re-checked: each keeps the limits by itself, and together they take no more of a lot than is free.
 * Says which load could not be made, and why.
 */
export function makeLoads({ lots, limits, amounts, loads, scales }: LoadsRequest): LoadsOutcome {
  const total = loads.reduce((sum, load) => sum + load, 0)
  const free = new Map(lots.map((lot) => [lot.id, gramsFromFloatKg(lot.freeKg)]))
  const drugs = new Set(lots.filter((lot) => lot.isDrug).map((lot) => lot.id))
  const made: MadeLoad[] = []
  for (const [loadIndex, load] of loads.entries()) {
    const left = (lot: LoadLot): Grams => free.get(lot.id) ?? grams(0)
    const used = lots.filter((lot) => (amounts[lot.id] ?? 0) > 0)
    const check = loadChecker(
      used.map((lot) => ({ ...lot, freeKg: left(lot) / 1000 })),
      limits,
      scales,
    )
    const lines = used.map((lot) => ({
      lotId: lot.id,
      kg: ((amounts[lot.id] ?? 0) * load) / total,
      free: left(lot),
      role: lot.role,
      pricePerKg: lot.pricePerKg,
    }))
    const rounded = roundLoad({ load, lines, scales, distance: loadDistance(used, limits, scales, load), check })
    if (rounded.kind === 'cannot') return { ...rounded, loadIndex }
    const sheet = orderOfAdding(rounded, scales, drugs)
    const faults = recheckSheet(sheet, load, scales, check)
    if (faults.length > 0) return { kind: 'cannot', loadIndex, reason: 'recheck', faults }
    for (const line of rounded.lines) free.set(line.lotId, grams((free.get(line.lotId) ?? 0) - line.grams))
    made.push({ load, lines: rounded.lines, sheet })
  }
  return { kind: 'made', loads: made }
}
