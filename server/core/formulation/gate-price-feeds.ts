import { certainRowsOf, cutAt, missOf, type CertainRow } from './certainty-rows.js'
import { columnSolver } from './gate-price-columns.js'
import type { LinearOutcome, LinearSolver } from './linear-program.js'
import { limitsWith, parameterProgram, type MovingLimits, type MovingRow } from './parametric-program.js'
import type { FormulaProblem } from './problem.js'
import { limitsOf, programOf, sparse, type NamedBound, type NamedRow } from './program.js'

/** So much of one feed, as a mix of a fixed mass; its ingredients are lots, and one that several feeds name is the same stock. */
export type GateFeed = { readonly id: string; readonly problem: FormulaProblem }

type Column = { readonly feed: string; readonly lot: string }

/** All feeds as one program: each keeps its own limits, and what several may take of a lot is no more than there is. */
export type JointFeeds = {
  readonly columns: readonly Column[]
  readonly costs: readonly number[]
  /** The limits of the feeds grow with their masses, the stock does not: so a share of all feeds is one parameter. */
  readonly moving: MovingLimits
  readonly certain: readonly CertainRow[]
}

const wide = (dense: ArrayLike<number>, first: number, width: number): number[] => {
  const values = Array.from({ length: width }, () => 0)
  for (let i = 0; i < dense.length; i += 1) values[first + i] = dense[i] ?? 0
  return values
}

const movingRows = ({ id, lower, upper, dense }: NamedRow): MovingRow[] => {
  if (lower !== null && lower === upper) return [{ id, side: 'eq', rate: lower, dense }]
  return [
    ...(lower === null ? [] : [{ id, side: 'min' as const, rate: lower, dense }]),
    ...(upper === null ? [] : [{ id, side: 'max' as const, rate: upper, dense }]),
  ]
}

const wideCertain = (row: CertainRow, first: number, width: number): CertainRow => ({
  ...row,
  base: { ...row.base, dense: wide(row.base.dense, first, width) },
  scatter: {
    own: Float64Array.from(wide(row.scatter.own, first, width)),
    shared: row.scatter.shared.map(({ at, values }) => ({ at: at.map((i) => first + i), values })),
  },
})

/** A row for each lot that more than one feed may take of; for the others their own bound says the same. */
function stockRows(feeds: readonly GateFeed[], columns: readonly Column[]): NamedRow[] {
  const stock = new Map(feeds.flatMap(({ problem }) => problem.ingredients.map(({ id, max }) => [id, max ?? null] as const)))
  return [...stock].flatMap(([lot, most]) => {
    const dense = columns.map((column) => (column.lot === lot ? 1 : 0))
    return most === null || dense.filter((one) => one === 1).length < 2 ? [] : [{ id: `stock:${lot}`, lower: null, upper: most, dense }]
  })
}

/** Puts feeds together into one program. */
export function jointFeeds(feeds: readonly GateFeed[]): JointFeeds {
  const columns = feeds.flatMap(({ id, problem }) => problem.ingredients.map((one) => ({ feed: id, lot: one.id })))
  const width = columns.length
  let next = 0
  const parts = feeds.map(({ problem }) => {
    const first = next
    next += problem.ingredients.length
    return { problem, first, limits: limitsOf(problem) }
  })
  const costs = parts.flatMap(({ limits }) => limits.costs)
  return {
    columns,
    costs,
    moving: {
      fixed: {
        costs,
        rows: stockRows(feeds, columns),
        bounds: parts.flatMap(({ limits, first }) => limits.bounds.map((bound) => ({ ...bound, index: bound.index + first }))),
      },
      rows: parts.flatMap(({ limits, first }) =>
        limits.rows.flatMap((row) => movingRows({ ...row, dense: wide(row.dense, first, width) })),
      ),
      bounds: [],
    },
    certain: parts.flatMap(({ problem, first }) => certainRowsOf(problem).map((row) => wideCertain(row, first, width))),
  }
}

const scaled = (row: CertainRow, share: number): CertainRow => {
  const { lower, upper } = row.base
  return { ...row, base: { ...row.base, lower: lower === null ? null : lower * share, upper: upper === null ? null : upper * share } }
}

/** A curve needs no more: a tenth of what the re-check of a mix lets pass. */
const MISS = 1e-7
const MOST_ROUNDS = 60

/** Solves, and again with the tangents of the certain limits that the amounts miss, until they miss none. The tangents are kept for the next solve. */
function withCuts(
  { columns, certain }: JointFeeds,
  cuts: MovingRow[],
  solve: () => LinearOutcome,
  shareOf: (x: readonly number[]) => number,
): LinearOutcome {
  let outcome = solve()
  for (let round = 0; round < MOST_ROUNDS && outcome.kind === 'optimal' && certain.length > 0; round += 1) {
    const amounts = outcome.x.slice(0, columns.length)
    const share = shareOf(outcome.x)
    const missed = certain.filter((row) => {
      const { by, size } = missOf(scaled(row, share), amounts)
      return by > MISS * size
    })
    if (missed.length === 0) return outcome
    cuts.push(...missed.flatMap((row) => movingRows(cutAt(row, amounts))))
    outcome = solve()
  }
  return outcome
}

const noneOf = ({ columns }: JointFeeds, without: string | null): NamedBound[] =>
  columns.flatMap(({ lot }, index) => (lot === without ? [{ id: `none:${lot}`, index, side: 'max' as const, value: 0 }] : []))

const withBounds = ({ moving }: JointFeeds, cuts: readonly MovingRow[], more: readonly NamedBound[]): MovingLimits => ({
  ...moving,
  fixed: { ...moving.fixed, bounds: [...moving.fixed.bounds, ...more] },
  rows: [...moving.rows, ...cuts],
})

/**
 * Solves for the cheapest way to make a share of all feeds, at costs by column. All but the costs and what is found out of certain limits
 * stays from one solve to the next.
 */
export function jointSolver(joint: JointFeeds, share: number, solver: LinearSolver): (costs: readonly number[]) => LinearOutcome {
  const cuts: MovingRow[] = []
  const base = programOf(limitsWith(joint.moving, share))
  const solveLike = columnSolver(solver)
  const cutRows = () =>
    limitsWith({ ...joint.moving, fixed: { ...joint.moving.fixed, rows: [] }, rows: cuts }, share).rows.map((row, i) =>
      sparse(row, `r${base.rows.length + i}`),
    )
  return (costs) => {
    const variables = base.variables.map((variable, i) => ({ ...variable, cost: costs[i] ?? Number.NaN }))
    return withCuts(
      joint,
      cuts,
      () => solveLike({ variables, rows: [...base.rows, ...cutRows()] }),
      () => share,
    )
  }
}

/** The largest share of all feeds, each to the same part, that can be made without one lot; null where the solver does not say. */
export function largestShare(joint: JointFeeds, without: string, solver: LinearSolver): number | null {
  const cuts: MovingRow[] = []
  const none = noneOf(joint, without)
  const solve = () => solver.solve(parameterProgram(withBounds(joint, cuts, none), { lower: 0, upper: 1, cost: -1 }))
  const outcome = withCuts(joint, cuts, solve, (x) => x.at(-1) ?? Number.NaN)
  return outcome.kind === 'optimal' ? (outcome.x.at(-1) ?? null) : null
}
