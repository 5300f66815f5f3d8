import { valueOf, type FormulaProblem } from './problem.js'
import type { Side } from './row-id.js'

type Sides = { readonly min?: number | undefined; readonly max?: number | undefined }

type Kind = 'nutrient' | 'ratio' | 'linear' | 'group' | 'ingredient'

/** Where a limit stands in its problem: the position in its list, and the side it limits. */
export type LimitPlace =
  { readonly kind: 'batch'; readonly side: Side } | { readonly kind: Kind; readonly index: number; readonly side: Side }

const KINDS: readonly string[] = ['nutrient', 'ratio', 'group', 'ingredient'] satisfies Kind[]
const isKind = (text: string): text is Kind => KINDS.includes(text)

type Listed = Sides & { readonly id: string }
const listOf = (problem: FormulaProblem, kind: Kind): readonly Listed[] =>
  ({
    nutrient: problem.nutrients,
    ratio: problem.ratios,
    linear: problem.linear,
    group: problem.groups,
    ingredient: problem.ingredients,
  })[kind] ?? []

const RELATION_SIDE = { '=': 'eq', '>=': 'min', '<=': 'max' } as const

const isSide = (text: string): text is Side => text === 'min' || text === 'max' || text === 'eq'

function has(limit: Sides, side: Side): boolean {
  const equal = limit.min !== undefined && limit.min === limit.max
  return side === 'eq' ? equal : !equal && limit[side] !== undefined
}

/** A row over amounts has one id for both sides: the side is read from what it limits, and where both differ `side` says which. */
function linearPlace(problem: FormulaProblem, id: string, side: Side | undefined): LimitPlace | null {
  const index = (problem.linear ?? []).findIndex((row) => row.id === id)
  const row = problem.linear?.[index]
  if (!row) return null
  const found = (['eq', 'min', 'max'] as const).filter((one) => has(row, one))
  const chosen = side === undefined ? found[0] : found.find((one) => one === side || one === 'eq')
  return chosen === undefined ? null : { kind: 'linear', index, side: chosen }
}

/** The place of the limit with a row id (as in `binding` and `conflict`); null where the problem has no such limit. */
export function placeOf(problem: FormulaProblem, rowId: string, side?: Side): LimitPlace | null {
  if (rowId === 'batch') return problem.batch ? { kind: 'batch', side: RELATION_SIDE[problem.batch.relation] } : null
  const colon = rowId.indexOf(':')
  const kind = rowId.slice(0, colon)
  if (kind === 'linear') return linearPlace(problem, rowId.slice(colon + 1), side)
  const last = rowId.lastIndexOf(':')
  const own = rowId.slice(last + 1)
  if (!isSide(own) || !isKind(kind)) return null
  const id = rowId.slice(colon + 1, last)
  // the minimum and maximum of an ingredient are two bounds even where they are equal
  const index = listOf(problem, kind).findIndex(
    (one) => one.id === id && (kind === 'ingredient' && own !== 'eq' ? one[own] !== undefined : has(one, own)),
  )
  return index < 0 ? null : { kind, index, side: own }
}

/** The value of a limit in its own unit: as the problem states it, a concentration as a concentration. */
export function limitAt(problem: FormulaProblem, place: LimitPlace): number {
  if (place.kind === 'batch') return problem.batch?.size ?? Number.NaN
  return listOf(problem, place.kind)[place.index]?.[place.side === 'max' ? 'max' : 'min'] ?? Number.NaN
}

const withSide = <T extends Sides>(list: readonly T[] | undefined, { index, side }: { index: number; side: Side }, value?: number): T[] =>
  (list ?? []).map((one, i) =>
    i !== index ? one : { ...one, ...(side === 'max' ? {} : { min: value }), ...(side === 'min' ? {} : { max: value }) },
  )

/** The same problem with one limit at another value, in the limit's own unit; `undefined` leaves the limit out. */
export function withLimit(problem: FormulaProblem, place: LimitPlace, value: number | undefined): FormulaProblem {
  switch (place.kind) {
    case 'batch':
      return { ...problem, batch: value === undefined || !problem.batch ? undefined : { ...problem.batch, size: value } }
    case 'nutrient':
      return { ...problem, nutrients: withSide(problem.nutrients, place, value) }
    case 'ratio':
      return { ...problem, ratios: withSide(problem.ratios, place, value) }
    case 'linear':
      return { ...problem, linear: withSide(problem.linear, place, value) }
    case 'group':
      return { ...problem, groups: withSide(problem.groups, place, value) }
    case 'ingredient':
      return { ...problem, ingredients: withSide(problem.ingredients, place, value) }
  }
}

/** The id by which its list knows what a place limits; empty for the batch. */
export const idAt = (problem: FormulaProblem, place: LimitPlace): string =>
  place.kind === 'batch' ? '' : (listOf(problem, place.kind)[place.index]?.id ?? '')

/** How a limit enters its row: as a right-hand side (so much of it per unit of the limit), or as a coefficient of these amounts. */
export type LimitEntry =
  { readonly kind: 'right-hand-side'; readonly perUnit: number } | { readonly kind: 'coefficient'; readonly weights: readonly number[] }

/** With a fixed batch a concentration or a fraction is so much mass; with a free one it multiplies the amounts, as a ratio always does. */
export function entryOf(problem: FormulaProblem, place: LimitPlace): LimitEntry {
  const size = problem.batch?.relation === '=' ? problem.batch.size : null
  const perMass: LimitEntry =
    size === null ? { kind: 'coefficient', weights: problem.ingredients.map(() => 1) } : { kind: 'right-hand-side', perUnit: size }
  switch (place.kind) {
    case 'nutrient':
      return problem.nutrients?.[place.index]?.basis === 'concentration' ? perMass : { kind: 'right-hand-side', perUnit: 1 }
    case 'group':
    case 'ingredient':
      return problem.inclusionBasis === 'fraction' ? perMass : { kind: 'right-hand-side', perUnit: 1 }
    case 'ratio': {
      const under = Object.entries(problem.ratios?.[place.index]?.denominator ?? {})
      const weight = (nutrients: { readonly [nutrient: string]: number } | undefined) =>
        under.reduce((sum, [id, share]) => sum + share * (valueOf(nutrients, id) ?? Number.NaN), 0)
      return { kind: 'coefficient', weights: problem.ingredients.map((ingredient) => weight(ingredient.nutrients)) }
    }
    case 'batch':
    case 'linear':
      return { kind: 'right-hand-side', perUnit: 1 }
  }
}

/** Whether amounts must be whole or logic holds between them: cost is then no convex function of a limit, and nothing here applies. */
export const hasWholeAmounts = (problem: FormulaProblem): boolean =>
  (problem.logic?.length ?? 0) > 0 ||
  problem.ingredients.some((one) => one.integer === true || one.increment !== undefined || one.minIfUsed !== undefined)
