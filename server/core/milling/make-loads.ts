import type { FormulaLimits } from '../formulation/limits.js'
import type { SearchLimits, Solver } from '../formulation/linear-program.js'
import { grams, gramsFromFloatKg, type Grams } from '../quantity/mass.js'
import { loadChecker, type LoadViolation } from './check-load.js'
import { orderOfAdding, type Sheet } from './order-of-adding.js'
import { recheckSheet, type SheetFault } from './recheck-load.js'
import { roundLoad, type LoadLot, type RoundedLoad, type WeighableLoad, type WeighedLine } from './round-load.js'
import type { Scales } from './scales.js'

export type { LoadLot } from './round-load.js'

/** Plain data, so that it can be sent to another thread. */
export type LoadsRequest = {
  readonly lots: readonly LoadLot[]
  readonly limits: FormulaLimits
  readonly loads: readonly Grams[]
  readonly scales: Scales
  readonly search: SearchLimits
}
export type MadeLoad = Pick<WeighableLoad, 'load' | 'gapPct' | 'proven' | 'bagsCostPct'> & {
  readonly lines: readonly WeighedLine[]
  readonly sheet: Sheet
}
export type LoadsOutcome =
  | { readonly kind: 'made'; readonly loads: readonly MadeLoad[] }
  | ({ readonly kind: 'cannot'; readonly loadIndex: number } & (
      | {
          /** `limits`: the ones that stand in the way. `stock`: not enough of what may go in. */
          readonly reason: 'not-weighable' | 'limits' | 'stock'
          readonly violations: readonly LoadViolation[]
        }
      | { readonly reason: 'recheck'; readonly faults: readonly SheetFault[] }
      | { readonly reason: 'solver'; readonly detail: string }
    ))

type Free = ReadonlyMap<string, Grams>
type Without<T, K extends string> = T extends unknown ? Omit<T, K> : never
type Attempt = { readonly kind: 'made'; readonly made: MadeLoad } | Without<Extract<LoadsOutcome, { kind: 'cannot' }>, 'loadIndex'>

const withFree = (lots: readonly LoadLot[], free: Free): LoadLot[] =>
  lots.map((lot) => ({ ...lot, freeKg: (free.get(lot.id) ?? 0) / 1000 }))

function attempt(request: LoadsRequest, load: Grams, free: Free, solver: Solver): Attempt {
  const { limits, scales, search } = request
  const lots = withFree(request.lots, free)
  const check = loadChecker(lots, limits, scales)
  const rounded: RoundedLoad = roundLoad({ load, lots, limits, scales, search, check }, solver)
  if (rounded.kind === 'cannot') return rounded
  const sheet = orderOfAdding(rounded, scales, new Set(lots.filter((lot) => lot.isDrug).map((lot) => lot.id)))
  const faults = recheckSheet(sheet, load, scales, check)
  if (faults.length > 0) return { kind: 'cannot', reason: 'recheck', faults }
  const { lines, gapPct, proven, bagsCostPct } = rounded
  return { kind: 'made', made: { load, lines, sheet, gapPct, proven, bagsCostPct } }
}

const fits = ({ lines }: MadeLoad, free: Free, times: number): boolean =>
  lines.every(({ lotId, grams: amount }) => amount * times <= (free.get(lotId) ?? 0))

/** Each lot's stock in proportion to this load's part of what is still to be made. */
const shareOf = (free: Free, load: Grams, rest: number): Free =>
  new Map([...free].map(([id, amount]) => [id, grams(Math.floor((amount * load) / rest))]))

/** The cheapest load where those after it could have as much of each lot; else the cheapest from its share, or whatever can be made. */
function oneLoad(request: LoadsRequest, load: Grams, rest: number, free: Free, solver: Solver): Attempt {
  const cheapest = attempt(request, load, free, solver)
  if (cheapest.kind !== 'made' || fits(cheapest.made, free, rest / load)) return cheapest
  const fair = attempt(request, load, shareOf(free, load, rest), solver)
  return fair.kind === 'made' ? fair : cheapest
}

/**
 * Every load of an order, weighable and re-checked: each keeps the limits by itself, and together they take no more of a lot than is free.
 * Loads of one mass are alike while stock allows: one program serves them all. Where the cheapest load would leave too little for those
 * after it, each load has its share of every lot (and what is left, should its share not do). Says which load could not be made, and why.
 */
export function makeLoads(request: LoadsRequest, solver: Solver): LoadsOutcome {
  const free = new Map(request.lots.map((lot) => [lot.id, gramsFromFloatKg(lot.freeKg)]))
  const made: MadeLoad[] = []
  let rest: number = request.loads.reduce((sum, load) => sum + load, 0)
  for (const [loadIndex, load] of request.loads.entries()) {
    const times = request.loads.slice(loadIndex).filter((other) => other === load).length
    const like = made.find((other) => other.load === load && fits(other, free, times))
    const one: Attempt = like === undefined ? oneLoad(request, load, rest, free, solver) : { kind: 'made', made: like }
    if (one.kind === 'cannot') return { ...one, loadIndex }
    for (const line of one.made.lines) free.set(line.lotId, grams((free.get(line.lotId) ?? 0) - line.grams))
    made.push(one.made)
    rest -= load
  }
  return { kind: 'made', loads: made }
}
