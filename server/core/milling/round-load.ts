import type { FormulaLimits } from '../formulation/limits.js'
import type { SearchLimits, Solver } from '../formulation/linear-program.js'
import type { MixLot } from '../formulation/mix-lot.js'
import { mixProblem } from '../formulation/mix-problem.js'
import { limitsOf } from '../formulation/program.js'
import { grams, gramsFromFloatKg, kgFloat, type Grams } from '../quantity/mass.js'
import type { LoadViolation, WeighedAmounts } from './check-load.js'
import { carrierOf, cellOf } from './load-cells.js'
import { loadProgram, withShownRoom, type LoadModel, type TableCount } from './load-program.js'
import { cheapestLoad, costOf, isProven, weighedOf, withWholeBags, type Found, type Setting } from './load-search.js'
import { relaxedLoad } from './relaxed-load.js'
import { scaleFor, type ScaleKind, type Scales } from './scales.js'

/** When a thing goes into the mixer (MIX-21 of `seed/reference/mill_practice.csv`). */
export type AddingRole = 'grain' | 'protein' | 'mineral' | 'micro' | 'liquid' | 'other'

/** A lot of the mix with its place in the mixer; `bag`: what a full bag of it holds, where every bag holds the same. */
export type LoadLot = MixLot & { readonly role: AddingRole; readonly isDrug: boolean; readonly bag?: Grams | null | undefined }

export type RoundingRequest = {
  readonly load: Grams
  /** `freeKg` is what this load may take of each. */
  readonly lots: readonly LoadLot[]
  readonly limits: FormulaLimits
  readonly scales: Scales
  /** For each program that is solved; a load takes two or three. */
  readonly search: SearchLimits
  /** The hard limits: what it returns empty for may be weighed. */
  readonly check: (amounts: WeighedAmounts) => readonly LoadViolation[]
}

export type WeighedLine = {
  readonly lotId: string
  readonly grams: Grams
  readonly scale: ScaleKind
  readonly role: AddingRole
  /** Full bags among the grams: they count as weighed, the rest goes on the scale. Null where none is full or bags differ. */
  readonly bags: { readonly count: number; readonly grams: Grams } | null
}
export type WeighableLoad = {
  readonly kind: 'weighable'
  readonly load: Grams
  readonly lines: readonly WeighedLine[]
  /** The lot that takes up the rounding: where something goes on the table scale, part of this lot is weighed there too. */
  readonly carrierLotId: string
  /** No weighable load costs less by more than this share of the cost, per cent; what whole bags cost is in it. */
  readonly gapPct: number
  /** The search ended within the gap that was asked for; otherwise time ran out first. */
  readonly proven: boolean
  /** What is paid so that fewer bags are opened, per cent of the cost. */
  readonly bagsCostPct: number
}
export type RoundedLoad =
  | WeighableLoad
  /** `not-weighable`: the load is no whole number of steps. `limits`: every weighable load breaks some; these are broken by the one that misses least. */
  | { readonly kind: 'cannot'; readonly reason: 'not-weighable' | 'limits' | 'stock'; readonly violations: readonly LoadViolation[] }
  | { readonly kind: 'cannot'; readonly reason: 'solver'; readonly detail: string }

/** A fixed share is the nearest that its scale shows; where no load has that, anything less than a step from it. */
const WINDOWS = [0.5, 0.999] as const
/** Only the lots that the mix uses where nothing is rounded: others would come in by a few grams and be so many more things to fetch. */
function narrowed(setting: Setting, about: readonly number[]): Setting {
  const { tableStep } = setting.request.scales
  const kept = [...setting.cells.keys()].filter((i) => (about[i] ?? 0) >= tableStep / 2 || setting.cells[i]?.isCarrier)
  const pick = <T>(list: readonly T[]): T[] => kept.flatMap((i) => list.slice(i, i + 1))
  return {
    ...setting,
    cells: pick(setting.cells),
    rows: setting.rows.map((row) => ({ ...row, dense: pick(row.dense) })),
    problem: { ...setting.problem, ingredients: pick(setting.problem.ingredients) },
  }
}

function linesOf({ request, cells }: Setting, amounts: readonly number[]): WeighedLine[] {
  const lots = new Map(request.lots.map((lot) => [lot.id, lot]))
  return cells.flatMap(({ lotId, bag }, i): WeighedLine[] => {
    const amount = grams(amounts[i] ?? 0)
    if (amount === 0) return []
    const count = bag === null ? 0 : Math.floor(amount / bag)
    const line = { lotId, grams: amount, scale: scaleFor(request.scales, amount), role: lots.get(lotId)?.role ?? 'other' }
    return [{ ...line, bags: bag !== null && count > 0 ? { count, grams: grams(bag) } : null }]
  })
}

/** The lot with odd grams must carry; where none has any, the one that fits best as in any load. */
function carrierIn(setting: Setting, lines: readonly WeighedLine[], planned: string): string {
  const { floorStep } = setting.request.scales
  const odd = lines.find(({ lotId, grams: amount }) => lotId === planned && amount % floorStep !== 0)
  const candidates = lines.map(({ lotId, role, grams: amount }) => ({ id: lotId, role, grams: amount }))
  return odd?.lotId ?? carrierOf(candidates, setting.request.scales) ?? planned
}

function report(setting: Setting, found: Found, { window, carrierId }: { window: number; carrierId: string }): WeighableLoad {
  const { request, cells } = setting
  const amounts = withWholeBags(setting, found, window)
  const lines = linesOf(setting, amounts)
  const [cheapest, cost] = [costOf(cells, found.amounts), costOf(cells, amounts)]
  const pct = (of: number): number => (cost === 0 ? 0 : Math.max(0, of / Math.abs(cost)) * 100)
  return {
    kind: 'weighable',
    load: request.load,
    lines,
    carrierLotId: carrierIn(setting, lines, carrierId),
    gapPct: pct(cost - setting.lowest),
    proven: isProven(setting, found),
    bagsCostPct: pct(cost - cheapest),
  }
}

/** Which limits no weighable load keeps: those that the load which misses them by least, counted as shares of themselves, still breaks. */
function whyNone(setting: Setting, { table, carrierId }: { table: TableCount; carrierId: string }): RoundedLoad {
  const { request, solver, cells, rows } = setting
  const model: LoadModel = {
    load: request.load,
    scales: request.scales,
    cells,
    rows,
    window: WINDOWS[1],
    table,
    goal: { kind: 'nearest' },
  }
  const { program, gramsOf } = loadProgram(model)
  const outcome = solver.solveInteger(program, { ...request.search, relativeGap: 0.01 })
  if (outcome.kind === 'infeasible') return { kind: 'cannot', reason: 'stock', violations: [] }
  if (outcome.kind !== 'solved')
    return { kind: 'cannot', reason: 'solver', detail: outcome.kind === 'failed' ? outcome.reason : 'unbounded' }
  const amounts = gramsOf(outcome.x)
  const weighed = weighedOf(cells, amounts)
  if (weighed === null) return { kind: 'cannot', reason: 'stock', violations: [] }
  const violations = request.check(weighed)
  // missed by less than the check sees
  if (violations.length === 0) return report(setting, { amounts, bound: setting.lowest, rows }, { window: WINDOWS[1], carrierId })
  return { kind: 'cannot', reason: 'limits', violations }
}

/**
 * The cheapest load that the scales can weigh: whole steps, exactly the load's mass, no hard limit broken, at most two lots of an ingredient,
 * full bags where they cost little more. An integer program, its answer judged by `check`; limits that ask for certainty are cut into it
 * where an answer misses them. Says how far from the cheapest it can be at most. Where there is none, says which limits stand in the way.
 */
export function roundLoad(request: RoundingRequest, solver: Solver): RoundedLoad {
  const { load, lots, limits, scales } = request
  if (lots.length === 0 || load % scales.tableStep !== 0) return { kind: 'cannot', reason: 'not-weighable', violations: [] }
  const { problem } = mixProblem({ batchKg: kgFloat(load), lots, limits })
  const relaxed = relaxedLoad(problem, limitsOf(problem), solver, (row) => withShownRoom(row, scales, WINDOWS[1]))
  const known = new Map(lots.map((lot) => [lot.id, lot]))
  const used = problem.ingredients.flatMap(({ id }) => known.get(id) ?? [])
  const about = used.map((_, i) => Math.max(0, relaxed.amounts[i] ?? 0) * 1000)
  const carrierId =
    carrierOf(
      used.map(({ id, role }, i) => ({ id, role, grams: about[i] ?? 0 })),
      scales,
    ) ?? ''
  const cellsFor = (sure: boolean) =>
    used.map((lot, i) =>
      cellOf(
        { ...lot, free: gramsFromFloatKg(lot.freeKg), about: sure ? (about[i] ?? 0) : null, bag: lot.bag ?? null },
        load,
        scales,
        carrierId,
      ),
    )
  const everything: Setting = { request, solver, problem, cells: cellsFor(false), rows: relaxed.rows, lowest: relaxed.cost }
  if (!relaxed.feasible) return whyNone(everything, { table: 'free', carrierId })
  const inMix = narrowed({ ...everything, cells: cellsFor(true) }, about)
  for (const setting of [inMix, everything]) {
    for (const window of WINDOWS) {
      const outcome = cheapestLoad(setting, window)
      if (outcome.kind === 'found') return report(setting, outcome.found, { window, carrierId })
      if (outcome.kind !== 'infeasible')
        return { kind: 'cannot', reason: 'solver', detail: outcome.kind === 'failed' ? outcome.reason : 'unbounded' }
    }
  }
  return whyNone(everything, { table: 'whole', carrierId })
}
