import { atMean } from './certainty.js'
import { formulate } from './formulate.js'
import type { Solver } from './linear-program.js'
import { amountsIn, kgOf, mixOf, movedKg, type Member } from './alternatives-mix.js'
import { approximate, type LeftMs, type Searched, SEARCH_GAP, type Settled } from './alternatives-search.js'
import { HAIR, spanOf, type Span } from './alternatives-span.js'
import type { FormulaProblem } from './problem.js'
import { statementOf } from './problem-statement.js'
import type { NamedBound, NamedLimits, NamedRow } from './program.js'
import { solveStatement } from './solve-statement.js'
import type { Statement } from './statement.js'

/** A limit of the search, not one that anybody set. */
const COST = 'cost'

type Task = {
  readonly problem: FormulaProblem
  readonly members: readonly Member[]
  /** The mix to be different from. */
  readonly from: readonly number[]
  readonly mostCost: number
}

/** What there was of an ingredient, and what there can be. */
type Change = Span & { readonly had: number }

const sizeOf = (problem: FormulaProblem, from: readonly number[]): number =>
  problem.batch?.size ?? from.reduce((sum, amount) => sum + amount, 0)

const withCost = ({ problem, mostCost }: Task): FormulaProblem => {
  const coefs = Object.fromEntries(problem.ingredients.map(({ id, cost }) => [id, cost]))
  return { ...problem, linear: [...(problem.linear ?? []), { id: COST, coefs, max: mostCost }] }
}

function changeOf(member: Member, limits: NamedLimits, { problem, from }: Task, solver: Solver): Change {
  const had = kgOf(member, from)
  const span = spanOf(member, limits, sizeOf(problem, from), solver)
  return { ...span, had, least: Math.min(had, span.least), most: Math.max(had, span.most) }
}

/**
 * The statement whose answer keeps the least of the mix `from`: the batch less what is moved. Both weigh the same, so what is moved is the
 * sum of what ingredients have more of. An ingredient that had nothing can only have more; one that had some has a switch `s` for more (1) or less (0), and a gain
 * `g` with g <= (most - had) s and g <= kg - had s - least (1 - s). An ingredient that cannot have more needs neither.
 */
function statementOfGains(task: Task, limits: NamedLimits, changes: readonly Change[]): Statement {
  const base = statementOf(atMean(withCost(task)))
  const lots = base.ids.length
  const floor = HAIR * sizeOf(task.problem, task.from)
  const always = changes.filter(({ had, least }) => had - least <= floor)
  const switched = changes.filter((change) => !always.includes(change) && change.most - change.had > 2 * floor)
  const gain = (k: number) => lots + 2 * k
  const width = lots + 2 * switched.length
  const dense = (entries: readonly (readonly [number, number])[]) => {
    const values = new Map(entries)
    return Array.from({ length: width }, (_, i) => values.get(i) ?? 0)
  }
  const rows = switched.flatMap(({ member, had, least, most }, k): NamedRow[] => [
    {
      id: 'gain',
      lower: null,
      upper: 0,
      dense: dense([
        [gain(k), 1],
        [gain(k) + 1, had - most],
      ]),
    },
    {
      id: 'gain',
      lower: null,
      upper: -least,
      dense: dense([...member.indices.map((i) => [i, -1] as const), [gain(k), 1], [gain(k) + 1, had - least]]),
    },
  ])
  const bounds = switched.flatMap(({ had, most }, k): NamedBound[] => [
    { id: 'gain', index: gain(k), side: 'max', value: most - had },
    { id: 'gain', index: gain(k) + 1, side: 'max', value: 1 },
  ])
  const rising = new Set(always.flatMap(({ member }) => member.indices))
  const costs = Array.from({ length: width }, (_, i) => (i < lots ? (rising.has(i) ? 0 : 1) : (i - lots) % 2 === 0 ? -1 : 0))
  const offset = always.reduce((sum, { had }) => sum + had, 0)
  return {
    ids: [...base.ids, ...switched.flatMap(({ member }) => [`gain of ${member.ingredientId}`, `more of ${member.ingredientId}`])],
    limits: {
      ...limits,
      costs,
      rows: [...limits.rows.map((row) => ({ ...row, dense: [...row.dense, ...switched.flatMap(() => [0, 0])] })), ...rows],
      bounds: [...limits.bounds, ...bounds],
      choices: [
        ...(limits.choices ?? []),
        ...switched.map((_, k) => ({ kind: 'multiple' as const, id: 'gain', index: gain(k) + 1, step: 1 })),
      ],
    },
    recheck: (amounts) => base.recheck(amounts.slice(0, lots)),
    costOf: (amounts) => costs.reduce((sum, cost, i) => sum + cost * (amounts[i] ?? Number.NaN), offset),
    offset,
  }
}

/** The mix farthest in the direction that some amounts show: as much as can be of the ingredients that have more in them. */
function farthestTowards(task: Task, amounts: readonly number[], solver: Solver) {
  const { problem, members, from } = task
  const rounding = HAIR * sizeOf(problem, from)
  const more = members.filter((member) => kgOf(member, amounts) >= kgOf(member, from) - rounding)
  const indices = new Set(more.flatMap((member) => member.indices))
  const limited = withCost(task)
  const directed = { ...limited, ingredients: limited.ingredients.map((one, i) => ({ ...one, cost: indices.has(i) ? 0 : 1 })) }
  const solved = formulate(directed, solver)
  const mix = solved.status === 'optimal' ? mixOf(problem, amountsIn(problem, solved), solver.name) : solved
  return mix.status === 'optimal' ? { found: mix, value: sizeOf(problem, from) - movedKg(members, from, amountsIn(problem, mix)) } : null
}

/**
 * A mix that no step towards its own direction makes more different, from that of the ingredients the first mix had nothing of: found by
 * linear solves alone, so there is one to show however little time a search gets. The mix itself where even that fails.
 */
function byClimbing(task: Task, solver: Solver): Settled | null {
  const { problem, from } = task
  let best: Settled | null = null
  let towards: readonly number[] = from.map((amount) => (amount > 0 ? 0 : 1))
  for (;;) {
    const next = farthestTowards(task, towards, solver)
    if (!next || (best && next.value >= best.value - HAIR * sizeOf(problem, from))) return best ?? itself(task, solver)
    best = next
    towards = amountsIn(problem, next.found)
  }
}

function itself({ problem, from }: Task, solver: Solver): Settled | null {
  const found = mixOf(problem, from, solver.name)
  return found.status === 'optimal' ? { found, value: sizeOf(problem, from) } : null
}

/**
 * Of all mixes within the limits that cost at most `mostCost` the one that differs most from a mix, by the mass that other ingredients take
 * over (half of the sum of absolute differences by ingredient). That measure, because a mill reads it off ("12 % of the mix is something
 * else"), it depends on no price or content, lots of one ingredient cannot feign it, and its largest value is found exactly: it is
 * piecewise linear, so a switch for each ingredient that the mix had makes it a program with whole numbers. Needs a fixed batch.
 */
export function mostDifferent(task: Task, solver: Solver, start: readonly NamedRow[], leftMs: LeftMs): Searched {
  const base = statementOf(atMean(withCost(task))).limits
  const limitsWith = (tangents: readonly NamedRow[]): NamedLimits => ({ ...base, rows: [...base.rows, ...tangents] })
  const best = byClimbing(task, solver)
  const changes = task.members.map((member) => changeOf(member, limitsWith(start), task, solver))
  return approximate({
    problem: task.problem,
    start,
    best,
    leftMs,
    size: sizeOf(task.problem, task.from),
    choose: (tangents) =>
      solveStatement(statementOfGains(task, limitsWith(tangents), changes), solver, { search: { relativeGap: SEARCH_GAP } }),
    settle: (amounts) => farthestTowards(task, amounts, solver),
  })
}
