import type { LinearProgram, LinearRow, LinearVariable } from './linear-program.js'
import { choicesOf, type Choice } from './integer-choice.js'
import { changeAllowed, valueOf, type FormulaProblem, type ProblemNutrient, type ProblemRatio } from './problem.js'

/** A row of the program with the id of the limit that it states. */
export type NamedRow = {
  readonly id: string
  readonly lower: number | null
  readonly upper: number | null
  readonly dense: readonly number[]
}

/** A bound of one ingredient's amount with the id of the limit that it states. */
export type NamedBound = { readonly id: string; readonly index: number; readonly side: 'min' | 'max'; readonly value: number }

/** A problem's limits by name: rows over all ingredients, bounds of single ones, and what must be whole or chosen. */
export type NamedLimits = {
  readonly costs: readonly number[]
  readonly rows: readonly NamedRow[]
  readonly bounds: readonly NamedBound[]
  /** The least of each variable where no bound says otherwise, null for none. Missing: 0, because amounts are never negative. */
  readonly floors?: readonly (number | null)[] | undefined
  readonly choices?: readonly Choice[] | undefined
}

type Side = 'min' | 'max' | 'eq'

const isFixedBatch = (problem: FormulaProblem): boolean => problem.batch?.relation === '='
/** The contents of all ingredients by nutrient, looked up once each: limits and ratios ask for the same ones again. */
type ContentsOf = (nutrient: string) => readonly number[]
function contentsReader({ ingredients }: FormulaProblem): ContentsOf {
  const known = new Map<string, readonly number[]>()
  return (nutrient) => {
    const before = known.get(nutrient)
    if (before) return before
    const contents = ingredients.map((ingredient) => valueOf(ingredient.nutrients, nutrient) ?? Number.NaN)
    known.set(nutrient, contents)
    return contents
  }
}

function batchRow({ batch, ingredients }: FormulaProblem): NamedRow[] {
  if (!batch) return []
  const lower = batch.relation === '<=' ? null : batch.size
  const upper = batch.relation === '>=' ? null : batch.size
  return [{ id: 'batch', lower, upper, dense: ingredients.map(() => 1) }]
}

/** Splits a pair of limits in one row (`eq`) or one row a side. */
function sides<T>(
  limit: { readonly min?: number | undefined; readonly max?: number | undefined },
  row: (side: 'min' | 'max' | 'eq', value: number) => T,
): T[] {
  if (limit.min !== undefined && limit.min === limit.max) return [row('eq', limit.min)]
  return [...(limit.min === undefined ? [] : [row('min', limit.min)]), ...(limit.max === undefined ? [] : [row('max', limit.max)])]
}

const oneSided = (id: string, side: 'min' | 'max' | 'eq', value: number, dense: readonly number[]): NamedRow => ({
  id,
  lower: side === 'max' ? null : value,
  upper: side === 'min' ? null : value,
  dense,
})

/** With a fixed batch a concentration is limited as the mass of the nutrient; with a free one the row is homogeneous. */
function nutrientRows(problem: FormulaProblem, nutrient: ProblemNutrient, contentsOf: ContentsOf): NamedRow[] {
  const contents = contentsOf(nutrient.id)
  return sides(nutrient, (side, limit) => {
    const id = `nutrient:${nutrient.id}:${side}`
    if (nutrient.basis === 'total') return oneSided(id, side, limit, contents)
    if (problem.batch && isFixedBatch(problem)) return oneSided(id, side, limit * problem.batch.size, contents)
    return oneSided(
      id,
      side,
      0,
      contents.map((content) => content - limit),
    )
  })
}

const weighted = (problem: FormulaProblem, weights: { readonly [nutrient: string]: number }, contentsOf: ContentsOf): number[] => {
  const parts = Object.entries(weights).map(([nutrient, weight]) => contentsOf(nutrient).map((content) => content * weight))
  return problem.ingredients.map((_, i) => parts.reduce((sum, part) => sum + (part[i] ?? 0), 0))
}

/** `numerator / denominator >= limit` as `numerator - limit x denominator >= 0`, which is the same where the denominator is not negative. */
function ratioRows(problem: FormulaProblem, ratio: ProblemRatio, contentsOf: ContentsOf): NamedRow[] {
  const numerator = weighted(problem, ratio.numerator, contentsOf)
  const denominator = weighted(problem, ratio.denominator, contentsOf)
  return sides(ratio, (side, limit) =>
    oneSided(
      `ratio:${ratio.id}:${side}`,
      side,
      0,
      numerator.map((value, i) => value - limit * (denominator[i] ?? 0)),
    ),
  )
}

function linearRows(problem: FormulaProblem): NamedRow[] {
  return (problem.linear ?? []).map((row) => ({
    id: `linear:${row.id}`,
    lower: row.min ?? null,
    upper: row.max ?? null,
    dense: problem.ingredients.map((ingredient) => valueOf(row.coefs, ingredient.id) ?? 0),
  }))
}

/** A minimum of zero is no limit that anybody set: amounts are never negative. */
const boundsOf = (problem: FormulaProblem, scale: number): NamedBound[] =>
  problem.ingredients.flatMap((ingredient, index) => [
    ...(ingredient.min === undefined || ingredient.min === 0
      ? []
      : [{ id: `ingredient:${ingredient.id}:min`, index, side: 'min' as const, value: ingredient.min * scale }]),
    ...(ingredient.max === undefined
      ? []
      : [{ id: `ingredient:${ingredient.id}:max`, index, side: 'max' as const, value: ingredient.max * scale }]),
  ])

/** A limit on a sum of ingredients in the basis of `inclusionBasis`: fractions of a batch that is not fixed are rows over the total. */
function shareRow(problem: FormulaProblem, id: string, side: Side, limit: number, members: readonly number[]): NamedRow {
  if (problem.inclusionBasis !== 'fraction') return oneSided(id, side, limit, members)
  if (problem.batch && isFixedBatch(problem)) return oneSided(id, side, limit * problem.batch.size, members)
  return oneSided(
    id,
    side,
    0,
    members.map((member) => member - limit),
  )
}

const unit = (problem: FormulaProblem, index: number): number[] => problem.ingredients.map((_, i) => (i === index ? 1 : 0))

const fractionRows = (problem: FormulaProblem): NamedRow[] =>
  boundsOf(problem, 1).map((bound) => shareRow(problem, bound.id, bound.side, bound.value, unit(problem, bound.index)))

const groupRows = (problem: FormulaProblem): NamedRow[] =>
  (problem.groups ?? []).flatMap((group) => {
    const members = problem.ingredients.map(({ id }) => (group.items.includes(id) ? 1 : 0))
    return sides(group, (side, limit) => shareRow(problem, `group:${group.id}:${side}`, side, limit, members))
  })

const changeRows = (problem: FormulaProblem): NamedRow[] =>
  problem.ingredients.flatMap(({ id }, index) => {
    const { previous } = problem
    const change = previous ? changeAllowed(previous, id) : undefined
    if (!previous || change === undefined) return []
    const before = valueOf(previous.amounts, id) ?? 0
    const row = (side: 'min' | 'max', limit: number) => shareRow(problem, `change:${id}:${side}`, side, limit, unit(problem, index))
    return [...(before - change > 0 ? [row('min', before - change)] : []), row('max', before + change)]
  })

/** All limits of a problem by their names, rows in the order of `seed/reference/README.md`. */
export function limitsOf(problem: FormulaProblem): NamedLimits {
  const byFraction = problem.inclusionBasis === 'fraction'
  const fixedSize = problem.batch && isFixedBatch(problem) ? problem.batch.size : null
  const freeFractions = byFraction && fixedSize === null
  const contentsOf = contentsReader(problem)
  return {
    costs: problem.ingredients.map((ingredient) => ingredient.cost),
    rows: [
      ...batchRow(problem),
      ...(problem.nutrients ?? []).flatMap((nutrient) => nutrientRows(problem, nutrient, contentsOf)),
      ...(problem.ratios ?? []).flatMap((ratio) => ratioRows(problem, ratio, contentsOf)),
      ...linearRows(problem),
      ...groupRows(problem),
      ...changeRows(problem),
      ...(freeFractions ? fractionRows(problem) : []),
    ],
    bounds: freeFractions ? [] : boundsOf(problem, byFraction && fixedSize !== null ? fixedSize : 1),
    choices: choicesOf(problem),
  }
}

/** The sum of coefficient x amount, and the size of what it is summed from. */
export function activityOf(dense: ArrayLike<number>, amounts: ArrayLike<number>): { readonly value: number; readonly size: number } {
  let value = 0
  let size = 0
  for (let i = 0; i < dense.length; i += 1) {
    const term = (dense[i] ?? 0) * (amounts[i] ?? Number.NaN)
    value += term
    size += Math.abs(term)
  }
  return { value, size }
}

/** A row of the program without its zeros. */
export const sparse = (row: NamedRow, name: string): LinearRow => {
  const columns: number[] = []
  const coefficients: number[] = []
  for (const [i, value] of row.dense.entries())
    if (value !== 0) {
      columns.push(i)
      coefficients.push(value)
    }
  return { name, lower: row.lower, upper: row.upper, columns, coefficients }
}

/** What no bound says: amounts are never negative, unless `floors` says so. */
export const floorOf = ({ floors }: NamedLimits, index: number): number | null => {
  const floor = floors?.[index]
  return floor === undefined ? 0 : floor
}

/**
 * The linear program of those limits; `cost: false` asks only whether they can hold together. Choices are left out: with whole numbers it is
 * the relaxation (see `integer-program.ts`).
 */
export function programOf(limits: NamedLimits, options: { readonly cost: boolean } = { cost: true }): LinearProgram {
  const least = new Map(limits.bounds.filter((bound) => bound.side === 'min').map((bound) => [bound.index, bound.value]))
  const most = new Map(limits.bounds.filter((bound) => bound.side === 'max').map((bound) => [bound.index, bound.value]))
  const variables: LinearVariable[] = limits.costs.map((cost, index) => ({
    name: `x${index}`,
    cost: options.cost ? cost : 0,
    lower: least.get(index) ?? floorOf(limits, index),
    upper: most.get(index) ?? null,
  }))
  return { variables, rows: limits.rows.map((row, i) => sparse(row, `r${i}`)) }
}
