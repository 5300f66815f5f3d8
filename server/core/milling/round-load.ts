import { certainCuts } from '../formulation/certainty.js'
import type { FormulaLimits } from '../formulation/limits.js'
import type { IntegerOutcome, SearchLimits, Solver } from '../formulation/linear-program.js'
import type { MixLot } from '../formulation/mix-lot.js'
import { mixProblem } from '../formulation/mix-problem.js'
import type { FormulaProblem } from '../formulation/problem.js'
import { WORST } from '../formulation/row-id.js'
import { limitsOf, type NamedRow } from '../formulation/program.js'
import { grams, gramsFromFloatKg, kgFloat, type Grams } from '../quantity/mass.js'
import type { LoadViolation, WeighedAmounts } from './check-load.js'
import { carrierOf, cellOf, type Cell } from './load-cells.js'
import { loadProgram, type LoadGoal, type LoadModel, type TableCount } from './load-program.js'
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

/** Whole bags are taken where that costs no more than a thousandth of the load: KES 25 of a load for KES 25,000, some minutes of work (common practice, no source). */
const BAGS_MAY_COST = 0.001
/** A fixed share is the nearest that its scale shows; where no load has that, anything less than a step from it. */
const WINDOWS = [0.5, 0.999] as const
/** How often an answer that the check refuses is cut off and the program solved again. */
const MOST_ROUNDS = 12

type Found = { readonly amounts: readonly number[]; readonly bound: number; readonly rows: readonly NamedRow[] }
type Search = { readonly kind: 'found'; readonly found: Found } | Exclude<IntegerOutcome, { kind: 'solved' }>
type Question = { readonly goal: LoadGoal; readonly window: number; readonly table: TableCount }
type Setting = {
  readonly request: RoundingRequest
  readonly solver: Solver
  readonly problem: FormulaProblem
  readonly cells: readonly Cell[]
  readonly rows: readonly NamedRow[]
  /** No load of any lots costs less. */
  readonly lowest: number
}

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

/** Null where the carrier cannot take up what is left. */
const weighedOf = (cells: readonly Cell[], amounts: readonly number[]): WeighedAmounts | null =>
  amounts.some((amount) => amount < 0)
    ? null
    : new Map(cells.flatMap(({ lotId }, i) => ((amounts[i] ?? 0) > 0 ? [[lotId, grams(amounts[i] ?? 0)] as const] : [])))

const costOf = (cells: readonly Cell[], amounts: readonly number[]): number =>
  cells.reduce((sum, { pricePerKg }, i) => sum + (pricePerKg * (amounts[i] ?? 0)) / 1000, 0)

/** Ids as the check says them. */
const withoutWorst = (id: string): string => id.replace(WORST, '')

/** A row that the solver's tolerance let slip is asked to hold by as much more. */
const tightened = (rows: readonly NamedRow[], broken: ReadonlySet<string>): NamedRow[] =>
  rows.map((row) => {
    if (!broken.has(withoutWorst(row.id))) return row
    const room = 1e-6 * Math.max(Math.abs(row.lower ?? 0), Math.abs(row.upper ?? 0), 1e-3)
    return { ...row, lower: row.lower === null ? null : row.lower + room, upper: row.upper === null ? null : row.upper - room }
  })

const isProven = ({ cells, request }: Setting, { amounts, bound }: Found): boolean => {
  const cost = costOf(cells, amounts)
  return cost - bound <= request.search.relativeGap * Math.abs(cost) + 1e-9
}

/** Solves until the answer passes the check: what misses its certainty is cut off there, for good. */
function searchLoad({ request, solver, problem, cells, rows: first }: Setting, { goal, window, table }: Question): Search {
  let rows = first
  for (let round = 0; round < MOST_ROUNDS; round += 1) {
    const model: LoadModel = { load: request.load, scales: request.scales, cells, rows, window, table, goal }
    const { program, gramsOf } = loadProgram(model)
    const outcome = solver.solveInteger(program, request.search)
    if (outcome.kind !== 'solved') return outcome
    const amounts = gramsOf(outcome.x)
    const weighed = weighedOf(cells, amounts)
    const broken = weighed === null ? [] : request.check(weighed)
    if (weighed !== null && broken.length === 0) return { kind: 'found', found: { amounts, bound: outcome.bound, rows } }
    if (weighed === null) break
    const cuts = certainCuts(
      problem,
      amounts.map((amount) => amount / 1000),
    )
    const cutOff = new Set(cuts.map(({ id }) => withoutWorst(id)))
    rows = [...tightened(rows, new Set(broken.flatMap(({ id }) => (cutOff.has(id) ? [] : [id])))), ...cuts]
  }
  return { kind: 'failed', reason: 'no answer of the solver passed the check' }
}

/**
 * The table scale's steps are fine beside the floor scale's, so they are first left out (a bound) and then rounded into room that was kept for
 * them. Only where that misses the bound by more than the gap asked for are they searched one by one.
 */
function cheapestLoad(setting: Setting, window: number): Search {
  const { request, solver, cells, rows } = setting
  const goal: LoadGoal = { kind: 'cheapest' }
  const bounded = (search: Search, bound: number): Search =>
    search.kind === 'found' ? { kind: 'found', found: { ...search.found, bound } } : search
  const roomy = bounded(searchLoad(setting, { goal, window, table: 'roomy' }), setting.lowest)
  if (roomy.kind === 'found' && isProven(setting, roomy.found)) return roomy
  const { program } = loadProgram({ load: request.load, scales: request.scales, cells, rows, window, table: 'free', goal })
  const below = solver.solveInteger(program, { ...request.search, relativeGap: request.search.relativeGap / 4 })
  if (below.kind !== 'solved') return roomy.kind === 'found' ? roomy : below
  const known = bounded(roomy, below.bound)
  if (known.kind === 'found' && isProven(setting, known.found)) return known
  const whole = searchLoad(setting, { goal, window, table: 'whole' })
  if (whole.kind !== 'found') return known.kind === 'found' ? known : whole
  const bound = Math.max(whole.found.bound, below.bound)
  const isBetter = known.kind !== 'found' || costOf(cells, whole.found.amounts) < costOf(cells, known.found.amounts)
  return bounded(isBetter ? whole : known, bound)
}

/** The load that opens fewer bags for a little more money, where there is one. */
function withWholeBags(setting: Setting, found: Found, window: number): readonly number[] {
  const cost = costOf(setting.cells, found.amounts)
  // a lot of which less than half a bag goes in is opened in any case
  const inBags = setting.cells.map((cell, i) =>
    cell.bag !== null && (found.amounts[i] ?? 0) < cell.bag / 2 ? { ...cell, bag: null } : cell,
  )
  const opened = inBags.filter(({ bag, isCarrier }, i) => bag !== null && !isCarrier && (found.amounts[i] ?? 0) % bag !== 0)
  if (opened.length === 0) return found.amounts
  const goal: LoadGoal = {
    kind: 'whole-bags',
    mostCost: cost + Math.abs(cost) * BAGS_MAY_COST,
    worthOfOne: (Math.abs(cost) * BAGS_MAY_COST) / 2,
  }
  const again = searchLoad({ ...setting, cells: inBags, rows: found.rows }, { goal, window, table: 'roomy' })
  return again.kind === 'found' ? again.found.amounts : found.amounts
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
function whyNone(setting: Setting): RoundedLoad {
  const { request, solver, cells, rows } = setting
  const model: LoadModel = {
    load: request.load,
    scales: request.scales,
    cells,
    rows,
    window: WINDOWS[1],
    table: 'whole',
    goal: { kind: 'nearest' },
  }
  const { program, gramsOf } = loadProgram(model)
  const outcome = solver.solveInteger(program, { ...request.search, relativeGap: 0.01 })
  if (outcome.kind === 'infeasible') return { kind: 'cannot', reason: 'stock', violations: [] }
  if (outcome.kind !== 'solved')
    return { kind: 'cannot', reason: 'solver', detail: outcome.kind === 'failed' ? outcome.reason : 'unbounded' }
  const weighed = weighedOf(cells, gramsOf(outcome.x))
  const violations = weighed === null ? [] : request.check(weighed)
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
  const relaxed = relaxedLoad(problem, limitsOf(problem), solver)
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
  if (!relaxed.feasible) return whyNone(everything)
  const inMix = narrowed({ ...everything, cells: cellsFor(true) }, about)
  for (const setting of [inMix, everything]) {
    for (const window of WINDOWS) {
      const outcome = cheapestLoad(setting, window)
      if (outcome.kind === 'found') return report(setting, outcome.found, { window, carrierId })
      if (outcome.kind !== 'infeasible')
        return { kind: 'cannot', reason: 'solver', detail: outcome.kind === 'failed' ? outcome.reason : 'unbounded' }
    }
  }
  return whyNone(everything)
}
