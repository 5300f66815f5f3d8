import { atMean } from './certainty.js'
import { formulate } from './formulate.js'
import type { Solver } from './linear-program.js'
import { keepingMembers, usedMembers, withAllLots, type Member } from './alternatives-mix.js'
import { approximate, type LeftMs, type Searched } from './alternatives-search.js'
import type { FormulaProblem } from './problem.js'
import { statementOf } from './problem-statement.js'
import type { NamedLimits, NamedRow } from './program.js'
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

type Task = { readonly problem: FormulaProblem; readonly members: readonly Member[]; readonly k: number }

/** The least cost with at most k ingredients, certain limits at the mean and by the tangents given. */
function statementWith({ problem, members, k }: Task, tangents: readonly NamedRow[]): Statement {
  const base = statementOf(atMean(problem))
  const sums = sumsOf(members, base.ids.length)
  const { limits } = base
  const counted: NamedLimits = {
    ...limits,
    costs: [...limits.costs, ...sums.many.map(() => 0)],
    rows: [
      ...[...limits.rows, ...tangents].map((row) => padded(row, sums)),
      ...limits.rows.flatMap((row) => overSums(row, sums)),
      ...linkRows(sums),
    ],
    choices: [...(limits.choices ?? []), { kind: 'count', id: AT_MOST_ROW, indices: members.map(sums.indexOf), min: 0, max: k }],
  }
  const lotsOf = (amounts: readonly number[]) => amounts.slice(0, base.ids.length)
  return {
    ...base,
    ids: [...base.ids, ...sums.many.map(({ ingredientId }) => `all lots of ${ingredientId}`)],
    limits: counted,
    recheck: (amounts) => [...base.recheck(lotsOf(amounts)), ...tooMany({ problem, members, k }, lotsOf(amounts))],
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
 * The cheapest mix of at most k ingredients, whatever the number of their lots, with every certain limit kept; its prices and costs of limits
 * hold for the ingredients it has. A conflict names `AT_MOST_ROW` where the number is part of it.
 */
export function withAtMost(task: Task, solver: Solver, start: readonly NamedRow[], leftMs: LeftMs): Searched {
  const { problem, members } = task
  return approximate({
    problem,
    start,
    leftMs,
    size: Math.max(1e-9, ...problem.ingredients.map(({ cost }) => Math.abs(cost))) * (problem.batch?.size ?? 1),
    choose: (tangents) => solveStatement(statementWith(task, tangents), solver),
    settle(amounts) {
      const found = withAllLots(problem, formulate(keepingMembers(problem, usedMembers(members, amounts)), solver))
      return found.status === 'optimal' ? { found, value: found.objective } : null
    },
  })
}
