import { grams, type Grams } from '../quantity/mass.js'
import type { LoadViolation, WeighedAmounts } from './check-load.js'
import { scaleFor, stepOf, type ScaleKind, type Scales } from './scales.js'

/** When a thing goes into the mixer (MIX-21 of `seed/reference/mill_practice.csv`). */
export type AddingRole = 'grain' | 'protein' | 'mineral' | 'micro' | 'liquid' | 'other'

/** One lot of a load before rounding: kilograms as solved, what is free of the lot, and its price to decide by. */
export type RoundingLine = {
  readonly lotId: string
  readonly kg: number
  readonly free: Grams
  readonly role: AddingRole
  readonly pricePerKg: number
}
export type RoundingRequest = {
  readonly load: Grams
  readonly lines: readonly RoundingLine[]
  readonly scales: Scales
  /** How far grams of the lines, in their order, are from keeping the hard limits; what the search goes down. */
  readonly distance: (amounts: readonly number[]) => number
  /** The hard limits: what it returns empty for may be weighed. */
  readonly check: (amounts: WeighedAmounts) => readonly LoadViolation[]
}

export type WeighedLine = { readonly lotId: string; readonly grams: Grams; readonly scale: ScaleKind; readonly role: AddingRole }
export type RoundedLoad =
  | {
      readonly kind: 'weighable'
      readonly load: Grams
      readonly lines: readonly WeighedLine[]
      /** The lot that takes up the rounding: where something goes on the table scale, part of this lot is weighed there too. */
      readonly carrierLotId: string
    }
  /** `not-weighable`: the load is no whole number of steps. `limits`: no rounding near the solved mix keeps these. */
  | { readonly kind: 'cannot'; readonly reason: 'not-weighable' | 'limits'; readonly violations: readonly LoadViolation[] }

type Cell = {
  readonly lotId: string
  readonly role: AddingRole
  readonly scale: ScaleKind
  readonly step: number
  readonly most: number
  /** What a gram of it costs more than a gram of the carrier. */
  readonly dearer: number
}
type State = { readonly amounts: readonly number[]; readonly broken: number; readonly cost: number }

/** How many steps a single move may take, and how many moves a search may make: bounds, so that the search always ends. */
const STRIDES = [1, 2, 5, 10, 20, 50, 100, 200] as const
const MOST_MOVES = 200

/** The biggest grain that goes on the floor scale, or the biggest of whatever does, or the biggest at all. */
function carrierOf(lines: readonly RoundingLine[], scales: Scales): RoundingLine | undefined {
  const rank = (line: RoundingLine) => {
    const floor = scaleFor(scales, line.kg * 1000) === 'floor' ? 1 : 0
    return [line.role === 'liquid' ? 0 : 1, floor, line.role === 'grain' ? 1 : 0, line.kg]
  }
  return [...lines].sort((a, b) => {
    const [left, right] = [rank(a), rank(b)]
    const at = left.findIndex((value, i) => value !== right[i])
    return at < 0 ? 0 : (right[at] ?? 0) - (left[at] ?? 0)
  })[0]
}

const cellOf = (line: RoundingLine, carrier: RoundingLine, scales: Scales): Cell => {
  const scale = scaleFor(scales, line.kg * 1000)
  const step = stepOf(scales, scale)
  return {
    lotId: line.lotId,
    role: line.role,
    scale,
    step,
    most: Math.floor(line.free / step) * step,
    dearer: line.pricePerKg - carrier.pricePerKg,
  }
}

/** Changes of the cells (the carrier takes the opposite) that a search tries: one cell by some steps, then two cells against each other. */
function* moves(cells: readonly Cell[]): Generator<readonly { readonly at: number; readonly by: number }[]> {
  for (const stride of STRIDES) {
    for (const [at, cell] of cells.entries()) for (const sign of [1, -1]) yield [{ at, by: sign * stride * cell.step }]
  }
  for (const stride of STRIDES.slice(0, 3)) {
    for (const [at, cell] of cells.entries()) {
      for (const [other, second] of cells.entries()) {
        if (at < other)
          for (const [a, b] of [
            [1, -1],
            [-1, 1],
            [1, 1],
            [-1, -1],
          ] as const)
            yield [
              { at, by: a * stride * cell.step },
              { at: other, by: b * stride * second.step },
            ]
      }
    }
  }
}

function applied(
  cells: readonly Cell[],
  amounts: readonly number[],
  move: readonly { readonly at: number; readonly by: number }[],
): number[] | null {
  const next = [...amounts]
  for (const { at, by } of move) {
    const value = (next[at] ?? 0) + by
    if (value < 0 || value > (cells[at]?.most ?? 0)) return null
    next[at] = value
  }
  return next
}

/**
 * Weighable grams by lot near the solved amounts: multiples of what the scale of each shows, exactly the load's mass, no hard limit broken.
 * Rounds to the nearest and walks from neighbour to neighbour: first to the one that breaks least until no limit is broken, then to
 * cheaper ones that break none. Bounded, so what it ends at is weighable but not proven the cheapest rounding.
 */
export function roundLoad({ load, lines, scales, distance, check }: RoundingRequest): RoundedLoad {
  const carrier = carrierOf(lines, scales)
  if (!carrier) return { kind: 'cannot', reason: 'not-weighable', violations: [] }
  const cells = lines.filter((line) => line !== carrier).map((line) => cellOf(line, carrier, scales))
  const carrierScale = scaleFor(scales, carrier.kg * 1000)
  const finest = [...cells.map((cell) => cell.scale), carrierScale].includes('table') ? scales.tableStep : scales.floorStep
  if (load % finest !== 0) return { kind: 'cannot', reason: 'not-weighable', violations: [] }

  const weighed = (amounts: readonly number[]): WeighedAmounts | null => {
    const rest = load - amounts.reduce((sum, value) => sum + value, 0)
    if (rest < 0 || rest > carrier.free) return null
    return new Map([[carrier.lotId, grams(rest)], ...cells.map((cell, i) => [cell.lotId, grams(amounts[i] ?? 0)] as const)])
  }
  const carrierAt = lines.indexOf(carrier)
  const judge = (amounts: readonly number[] | null): State | null => {
    if (!amounts) return null
    let rest: number = load
    let cost = 0
    for (let i = 0; i < cells.length; i += 1) {
      rest -= amounts[i] ?? 0
      cost += (cells[i]?.dearer ?? 0) * (amounts[i] ?? 0)
    }
    if (rest < 0 || rest > carrier.free) return null
    return { amounts, broken: distance([...amounts.slice(0, carrierAt), rest, ...amounts.slice(carrierAt)]), cost }
  }

  const wanted = lines.filter((line) => line !== carrier)
  const nearest = cells.map((cell, i) => Math.min(cell.most, Math.round(((wanted[i]?.kg ?? 0) * 1000) / cell.step) * cell.step))
  let state =
    judge(nearest) ?? judge(cells.map((cell, i) => Math.min(cell.most, Math.floor(((wanted[i]?.kg ?? 0) * 1000) / cell.step) * cell.step)))
  for (let moved = 0; state && moved < MOST_MOVES; moved += 1) {
    const better = betterNeighbour(cells, state, judge)
    if (!better) break
    state = better
  }
  const found = state && weighed(state.amounts)
  if (!state || !found) return { kind: 'cannot', reason: 'limits', violations: [] }
  const violations = check(found)
  if (violations.length > 0) return { kind: 'cannot', reason: 'limits', violations }
  const all = [{ lotId: carrier.lotId, role: carrier.role, scale: carrierScale }, ...cells]
  const result = all
    .map(({ lotId, role, scale }) => ({ lotId, role, scale, grams: found.get(lotId) ?? grams(0) }))
    .filter((line) => line.grams > 0)
  return { kind: 'weighable', load, lines: result, carrierLotId: carrier.lotId }
}

/** Less broken, or as little broken and cheaper by more than rounding noise. */
const isBetter = (a: State, b: State): boolean =>
  a.broken < b.broken || (a.broken === b.broken && a.cost < b.cost - 1e-9 * Math.max(1, Math.abs(b.cost)))

/** The best single-cell move; only where none helps, the best move of two cells. */
function betterNeighbour(cells: readonly Cell[], state: State, judge: (amounts: readonly number[] | null) => State | null): State | null {
  let best: State | null = null
  let pairs = false
  for (const move of moves(cells)) {
    if (move.length > 1 && !pairs) {
      if (best) return best
      pairs = true
    }
    const next = judge(applied(cells, state.amounts, move))
    if (next && isBetter(next, best ?? state)) best = next
  }
  return best
}
