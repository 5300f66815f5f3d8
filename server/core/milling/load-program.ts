import type { IntegerProgram, LinearRow, LinearVariable } from '../formulation/linear-program.js'
import type { NamedRow } from '../formulation/program.js'
import type { Grams } from '../quantity/mass.js'
import type { Cell } from './load-cells.js'
import { scaleFor, stepOf, type Scales } from './scales.js'

/** At most so many lots of one ingredient in a load: each more is a stack to fetch from and a number to write down. */
export const MOST_LOTS = 2

/** What a program is for: the cheapest load; the load that opens the fewest bags within a cost; the load that misses its limits by least. */
export type LoadGoal =
  | { readonly kind: 'cheapest' }
  | { readonly kind: 'whole-bags'; readonly mostCost: number; readonly worthOfOne: number }
  | { readonly kind: 'nearest' }

/**
 * How the table scale is counted. `whole`: in its steps. `free`: as if it had none, a bound on what can be reached. `roomy`: as if it had
 * none, but with limits pulled in by what rounding its amounts to the nearest step can move at most, so that rounded loads keep them.
 */
export type TableCount = 'whole' | 'free' | 'roomy'

export type LoadModel = {
  readonly load: Grams
  readonly scales: Scales
  readonly cells: readonly Cell[]
  /** The limits of the load in kilograms by lot, dense over the cells; the row `batch` among them stands for the mass and is made exact here. */
  readonly rows: readonly NamedRow[]
  /** A fixed share is kept within this part of a step of its scale. */
  readonly window: number
  readonly table: TableCount
  readonly goal: LoadGoal
}
export type LoadProgram = { readonly program: IntegerProgram; readonly gramsOf: (x: readonly number[]) => number[] }

type Term = readonly [column: number, coefficient: number]
/** A column of a cell counts so many grams. */
type Column = { readonly at: number; readonly grams: number }

const isFixedShare = ({ id }: NamedRow): boolean => id.startsWith('linear:') && id.endsWith('/eq')

/** A fixed share as what its scale can show of it, within a part of a step to either side; any other row as it is. */
export function withShownRoom(row: NamedRow, scales: Scales, window: number): NamedRow {
  if (!isFixedShare(row) || row.lower === null || row.lower !== row.upper) return row
  const room = (stepOf(scales, scaleFor(scales, row.lower * 1000)) * window) / 1000
  return { ...row, lower: row.lower - room, upper: row.upper + room }
}

/** What rounding the table scale's amounts can move a row by: half a step of each, which the carrier takes up. */
function roomOf({ dense }: NamedRow, { cells, scales, table }: LoadModel): number {
  if (table !== 'roomy') return 0
  const ofCarrier = dense[cells.findIndex((cell) => cell.isCarrier)] ?? 0
  const halfKg = scales.tableStep / 2000
  return cells.reduce(
    (sum, cell, i) => (cell.isCarrier || cell.tableMost === 0 ? sum : sum + Math.abs((dense[i] ?? 0) - ofCarrier) * halfKg),
    0,
  )
}

/** A size to measure a miss of the row by: its limit, or a hundredth of what the load could hold where the limit is zero. */
function sizeOf({ lower, upper, dense }: NamedRow, load: Grams): number {
  const limit = Math.max(Math.abs(lower ?? 0), Math.abs(upper ?? 0))
  return limit > 0 ? limit : Math.max(1e-9, ...dense.map(Math.abs)) * (load / 1000) * 0.01
}

/**
 * The program of one load in whole numbers: steps of the floor scale and of the table scale by lot. A lot goes on one scale, the carrier
 * takes what is left; the mass is exact; at most `MOST_LOTS` lots of an ingredient. Costs are in the currency of the prices. `gramsOf` reads an answer
 * back as grams by lot, in the order of the cells.
 */
export function loadProgram(model: LoadModel): LoadProgram {
  const { load, scales, cells, goal } = model
  const variables: LinearVariable[] = []
  const integer: boolean[] = []
  const rows: LinearRow[] = []
  const column = (upper: number | null, cost: number, whole = true): number => {
    variables.push({ name: `x${variables.length}`, cost, lower: 0, upper })
    integer.push(whole)
    return variables.length - 1
  }
  const row = (lower: number | null, upper: number | null, terms: readonly Term[]): void => {
    const used = terms.filter(([, coefficient]) => coefficient !== 0).sort(([a], [b]) => a - b)
    const columns = used.map(([at]) => at)
    rows.push({ name: `r${rows.length}`, lower, upper, columns, coefficients: used.map(([, coefficient]) => coefficient) })
  }
  const amount = (cell: Cell, most: number, step: Grams, whole = true): Column => {
    const cost = goal.kind === 'nearest' ? 0 : (cell.pricePerKg * step) / 1000
    return { at: column(most, cost, whole), grams: step }
  }
  const onTable = cells.filter((cell) => !cell.isCarrier && cell.tableMost > 0)
  const halfStep = model.table === 'roomy' ? 0.5 : 0
  const columnsOf = (cell: Cell): Column[] => {
    // what is left of the load is whole by itself, because all the rest is
    if (cell.isCarrier)
      return [amount(cell, Math.max(0, cell.most / scales.tableStep - onTable.length * halfStep), scales.tableStep, false)]
    const floor = cell.floorMost > 0 ? [amount(cell, cell.floorMost, scales.floorStep)] : []
    const table = cell.tableMost > 0 ? [amount(cell, cell.tableMost, scales.tableStep, model.table === 'whole')] : []
    const [onFloor, beside] = [floor[0], table[0]]
    if (onFloor) {
      const is = column(1, 0)
      row(null, 0, [
        [onFloor.at, 1],
        [is, -cell.floorMost],
      ])
      row(0, null, [
        [onFloor.at, 1],
        [is, -cell.floorLeast],
      ])
      if (beside)
        row(null, cell.tableMost, [
          [beside.at, 1],
          [is, cell.tableMost],
        ])
    }
    return [...floor, ...table]
  }
  const columns = cells.map(columnsOf)
  const weighed = (dense: (index: number) => number): Term[] =>
    columns.flatMap((own, i) => own.map(({ at, grams }): Term => [at, (dense(i) * grams) / 1000]))
  const inTableSteps = (own: readonly Column[]): Term[] => own.map(({ at, grams }): Term => [at, grams / scales.tableStep])

  // counted in table steps, so that every coefficient is a whole number and the mass comes out exact
  row(load / scales.tableStep, load / scales.tableStep, columns.flatMap(inTableSteps))
  for (const named of model.rows) {
    if (named.id === 'batch') continue
    const room = roomOf(named, model)
    const sides = withShownRoom(named, scales, model.window)
    const [lower, upper] = [sides.lower === null ? null : sides.lower + room, sides.upper === null ? null : sides.upper - room]
    const terms = weighed((i) => named.dense[i] ?? 0)
    if (goal.kind === 'nearest') {
      const size = sizeOf(named, load)
      if (lower !== null) terms.push([column(null, 1, false), size])
      if (upper !== null) terms.push([column(null, 1, false), -size])
    }
    row(lower, upper, terms)
  }

  for (const ingredientId of new Set(cells.map((cell) => cell.ingredientId))) {
    const indices = [...cells.keys()].filter((i) => cells[i]?.ingredientId === ingredientId)
    if (indices.length <= MOST_LOTS) continue
    const used = indices.map((i): Term => {
      const is = column(1, 0)
      row(null, 0, [...inTableSteps(columns[i] ?? []), [is, -(cells[i]?.most ?? 0) / scales.tableStep]])
      return [is, 1]
    })
    row(null, MOST_LOTS, used)
  }

  if (goal.kind === 'whole-bags') {
    row(
      null,
      goal.mostCost,
      weighed((i) => cells[i]?.pricePerKg ?? 0),
    )
    for (const [i, { bag, most, isCarrier }] of cells.entries()) {
      if (bag === null || isCarrier || most < bag) continue
      const bags = column(Math.floor(most / bag), 0)
      const opened = column(1, goal.worthOfOne)
      const rest: Term[] = [...inTableSteps(columns[i] ?? []), [bags, -bag / scales.tableStep]]
      row(0, null, rest)
      row(null, 0, [...rest, [opened, 1 - bag / scales.tableStep]])
    }
  }
  return {
    program: { variables, rows, integer },
    gramsOf: (x) => {
      const amounts = columns.map((own) => own.reduce((sum, { at, grams }) => sum + Math.round(x[at] ?? 0) * grams, 0))
      const others = amounts.reduce((sum, each, i) => (cells[i]?.isCarrier ? sum : sum + each), 0)
      return amounts.map((each, i) => (cells[i]?.isCarrier ? load - others : each))
    },
  }
}
