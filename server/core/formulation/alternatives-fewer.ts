import { atMean } from './certainty.js'
import { formulate } from './formulate.js'
import type { Solver } from './linear-program.js'
import { keepingMembers, usedMembers, withAllLots, type Member } from './alternatives-mix.js'
import { approximate, type LeftMs, type Searched, SEARCH_GAP, type Settled } from './alternatives-search.js'
import { spanOf, type Span } from './alternatives-span.js'
import type { FormulaProblem } from './problem.js'
import { statementOf } from './problem-statement.js'
import { programOf, type NamedBound, type NamedLimits, type NamedRow } from './program.js'
import { brokenChoices } from './recheck-choices.js'
import { solveStatement } from './solve-statement.js'
import type { Statement } from './statement.js'

/** The limit on how many ingredients a mix has, as it stands in a conflict. */
export const AT_MOST_ROW = 'logic:at-most'

/** An ingredient of several lots is chosen as their sum, which is one more variable behind the lots. */
type Sums = { readonly lots: number; readonly many: readonly Member[]; readonly indexOf: (member: Member) => number }

function sumsOf(members: readonly Member[], lots: number): Sums {
  const many = members.filter(({ indices }) => indices.length > 1)
  return { lots, many, indexOf: (member) => (member.indices.length > 1 ? lots + many.indexOf(member) : (member.indices[0] ?? -1)) }
}

const padded = (row: NamedRow, { many }: Sums): NamedRow => ({ ...row, dense: [...row.dense, ...many.map(() => 0)] })

const linkRows = ({ lots, many }: Sums): NamedRow[] =>
  many.map(({ indices }, k) => {
    const dense = [...Array.from({ length: lots }, (_, i) => (indices.includes(i) ? -1 : 0)), ...many.map((_, j) => (j === k ? 1 : 0))]
    return { id: AT_MOST_ROW, lower: 0, upper: 0, dense }
  })

/**
 * A limit that takes all lots of an ingredient alike (the mass, shares) once more over the sums, under its own id: it changes no answer, but
 * what can be used of a sum at most is read from it.
 */
function overSums(row: NamedRow, { lots, many }: Sums): NamedRow[] {
  const alike = many.every(({ indices }) => indices.every((index) => row.dense[index] === row.dense[indices[0] ?? -1]))
  if (many.length === 0 || !alike) return []
  const inSum = new Set(many.flatMap(({ indices }) => indices))
  const own = Array.from({ length: lots }, (_, i) => (inSum.has(i) ? 0 : (row.dense[i] ?? 0)))
  return [{ ...row, dense: [...own, ...many.map(({ indices }) => row.dense[indices[0] ?? -1] ?? 0)] }]
}

type Task = {
  readonly problem: FormulaProblem
  readonly members: readonly Member[]
  readonly k: number
  /** The cheapest mix of any number of ingredients. */
  readonly cheapest: readonly number[]
}

/** What a mix that is known already leaves open: no more cost than its own, so no more of an ingredient than that allows. */
type Narrowed = { readonly costs: readonly NamedRow[]; readonly spans: readonly Span[] }
const OPEN: Narrowed = { costs: [], spans: [] }

/** The bounds of amounts that spans leave; of a lot never more than its own. */
const spanBounds = ({ spans }: Narrowed, limits: NamedLimits, indexOf: Sums['indexOf']): NamedBound[] =>
  spans.map(({ member, most }) => {
    const index = indexOf(member)
    const own = limits.bounds.filter((bound) => bound.index === index && bound.side === 'max').map(({ value }) => value)
    return { id: AT_MOST_ROW, index, side: 'max', value: Math.min(most, ...own) }
  })

/** The least cost with at most k ingredients, certain limits at the mean and by the tangents given. */
function statementWith(task: Task, tangents: readonly NamedRow[], narrowed: Narrowed): Statement {
  const { problem, members, k } = task
  const base = statementOf(atMean(problem))
  const sums = sumsOf(members, base.ids.length)
  const { limits } = base
  const counted: NamedLimits = {
    ...limits,
    costs: [...limits.costs, ...sums.many.map(() => 0)],
    rows: [
      ...[...limits.rows, ...tangents, ...narrowed.costs].map((row) => padded(row, sums)),
      ...limits.rows.flatMap((row) => overSums(row, sums)),
      ...linkRows(sums),
    ],
    bounds: [...limits.bounds, ...spanBounds(narrowed, limits, sums.indexOf)],
    choices: [...(limits.choices ?? []), { kind: 'count', id: AT_MOST_ROW, indices: members.map(sums.indexOf), min: 0, max: k }],
  }
  const lotsOf = (amounts: readonly number[]) => amounts.slice(0, base.ids.length)
  return {
    ...base,
    ids: [...base.ids, ...sums.many.map(({ ingredientId }) => `all lots of ${ingredientId}`)],
    limits: counted,
    recheck: (amounts) => [...base.recheck(lotsOf(amounts)), ...tooMany(task, lotsOf(amounts))],
    costOf: (amounts) => base.costOf(lotsOf(amounts)),
  }
}

/** The count once more, by ingredients instead of switches. */
function tooMany({ problem, members, k }: Task, amounts: readonly number[]) {
  const sums: FormulaProblem = {
    ingredients: members.map(({ ingredientId }) => ({ id: ingredientId, cost: 0 })),
    logic: [{ id: AT_MOST_ROW.slice('logic:'.length), type: 'atMost', k, items: members.map(({ ingredientId }) => ingredientId) }],
    batch: problem.batch,
  }
  return brokenChoices(
    sums,
    members.map(({ indices }) => indices.reduce((sum, index) => sum + (amounts[index] ?? Number.NaN), 0)),
  )
}

/**
 * A mix of at most k ingredients by leaving out, one after the other, the one that is missed least; null where that ends in none. Linear
 * solves alone, so there is mostly one to show however little time a search gets.
 */
function byLeavingOut({ members, k, cheapest }: Task, limits: NamedLimits, solver: Solver): readonly number[] | null {
  const gone: NamedBound[] = []
  const none = ({ indices }: Member) => indices.map((index): NamedBound => ({ id: AT_MOST_ROW, index, side: 'max', value: 0 }))
  let amounts = cheapest
  for (;;) {
    const used = usedMembers(members, amounts)
    if (used.length <= k) return amounts
    const tried = used.flatMap((member) => {
      const outcome = solver.solve(programOf({ ...limits, bounds: [...limits.bounds, ...gone, ...none(member)] }))
      return outcome.kind === 'optimal' ? [{ member, cost: outcome.objective, x: outcome.x }] : []
    })
    const [first, ...others] = tried
    if (!first) return null
    const least = others.reduce((best, one) => (one.cost < best.cost ? one : best), first)
    gone.push(...none(least.member))
    amounts = least.x
  }
}

function narrowedBy(known: Settled, { problem, members }: Task, limits: NamedLimits, solver: Solver): Narrowed {
  const value = known.value + KNOWN_HAIR * costOfSize(problem)
  const costs: NamedRow[] = [{ id: AT_MOST_ROW, lower: null, upper: value, dense: limits.costs }]
  const within = { ...limits, rows: [...limits.rows, ...costs] }
  return { costs, spans: members.map((member) => spanOf(member, within, batchOf(problem), solver)) }
}

const batchOf = ({ batch }: FormulaProblem): number => batch?.size ?? 1
/** What a batch of the dearest ingredient costs. */
const costOfSize = (problem: FormulaProblem): number =>
  Math.max(1e-9, ...problem.ingredients.map(({ cost }) => Math.abs(cost))) * batchOf(problem)

/** Room for a solver's tolerance above the cost of a known mix. */
const KNOWN_HAIR = 1e-7

/**
 * The cheapest mix of at most k ingredients, whatever the number of their lots, with every certain limit kept; its prices and costs of limits
 * hold for the ingredients it has. A conflict names `AT_MOST_ROW` where the number is part of it. Needs a fixed batch.
 */
export function withAtMost(task: Task, solver: Solver, start: readonly NamedRow[], leftMs: LeftMs): Searched {
  const { problem, members } = task
  const settle = (amounts: readonly number[]): Settled | null => {
    const found = withAllLots(problem, formulate(keepingMembers(problem, usedMembers(members, amounts)), solver))
    return found.status === 'optimal' ? { found, value: found.objective } : null
  }
  const { limits } = statementOf(atMean(problem))
  const tight = { ...limits, rows: [...limits.rows, ...start] }
  const few = byLeavingOut(task, tight, solver)
  const best = few && settle(few)
  const narrowed = best ? narrowedBy(best, task, tight, solver) : OPEN
  const choose = (tangents: readonly NamedRow[]) =>
    solveStatement(statementWith(task, tangents, narrowed), solver, { search: { relativeGap: SEARCH_GAP } })
  return approximate({ problem, start, best, leftMs, size: costOfSize(problem), choose, settle })
}
