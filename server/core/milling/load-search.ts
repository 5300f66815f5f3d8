import { certainCuts } from '../formulation/certainty.js'
import type { IntegerOutcome, Solver } from '../formulation/linear-program.js'
import type { FormulaProblem } from '../formulation/problem.js'
import type { NamedRow } from '../formulation/program.js'
import { WORST } from '../formulation/row-id.js'
import { grams } from '../quantity/mass.js'
import type { WeighedAmounts } from './check-load.js'
import type { Cell } from './load-cells.js'
import { loadProgram, type LoadGoal, type LoadModel, type TableCount } from './load-program.js'
import type { RoundingRequest } from './round-load.js'

/** Whole bags are taken where that costs no more than a thousandth of the load: KES 25 of a load for KES 25,000, some minutes of work (common practice, no source). */
const BAGS_MAY_COST = 0.001
/** How often an answer that the check refuses is cut off and the program solved again. */
const MOST_ROUNDS = 12

export type Found = { readonly amounts: readonly number[]; readonly bound: number; readonly rows: readonly NamedRow[] }
export type Search = { readonly kind: 'found'; readonly found: Found } | Exclude<IntegerOutcome, { kind: 'solved' }>
export type Question = { readonly goal: LoadGoal; readonly window: number; readonly table: TableCount }
export type Setting = {
  readonly request: RoundingRequest
  readonly solver: Solver
  readonly problem: FormulaProblem
  readonly cells: readonly Cell[]
  readonly rows: readonly NamedRow[]
  /** No load of any lots costs less. */
  readonly lowest: number
}

/** Null where the carrier cannot take up what is left. */
export const weighedOf = (cells: readonly Cell[], amounts: readonly number[]): WeighedAmounts | null =>
  amounts.some((amount) => amount < 0)
    ? null
    : new Map(cells.flatMap(({ lotId }, i) => ((amounts[i] ?? 0) > 0 ? [[lotId, grams(amounts[i] ?? 0)] as const] : [])))

export const costOf = (cells: readonly Cell[], amounts: readonly number[]): number =>
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

export const isProven = ({ cells, request }: Setting, { amounts, bound }: Found): boolean => {
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
export function cheapestLoad(setting: Setting, window: number): Search {
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
export function withWholeBags(setting: Setting, found: Found, window: number): readonly number[] {
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
