import type { Spread } from '../composition/spread.js'
import { valueOf, type FormulaProblem, type ProblemNutrient } from './problem.js'
import { limitsOf, type NamedRow } from './program.js'

/** Own standard deviations by ingredient, and for each shared key what each ingredient errs by under it. */
type Scatter = { readonly own: readonly number[]; readonly shared: readonly (readonly number[])[] }

/** One side of a nutrient limit that must hold with z standard deviations to spare. */
export type CertainRow = {
  readonly id: string
  readonly nutrient: ProblemNutrient
  readonly side: 'min' | 'max'
  readonly z: number
  /** The same limit at the mean; its right-hand side and its means by ingredient. */
  readonly base: NamedRow
  readonly scatter: Scatter
}

export const isCertain = ({ z = 0 }: ProblemNutrient): boolean => z !== 0

/** Whether some limit asks for certainty: the limits are then curved, and no linear program states them exactly. */
export const hasCertainty = (problem: FormulaProblem): boolean => (problem.nutrients ?? []).some(isCertain)

const spreadOf = (spreads: { readonly [nutrient: string]: Spread } | undefined, nutrient: string): Spread | undefined =>
  spreads && Object.hasOwn(spreads, nutrient) ? spreads[nutrient] : undefined

function scatterOf({ ingredients }: FormulaProblem, nutrient: string): Scatter {
  const spreads = ingredients.map((ingredient) => spreadOf(ingredient.spreads, nutrient))
  const keys = new Set(spreads.flatMap((spread) => Object.keys(spread?.shared ?? {})))
  return {
    own: spreads.map((spread) => spread?.own ?? 0),
    shared: [...keys].map((key) => spreads.map((spread) => valueOf(spread?.shared, key) ?? 0)),
  }
}

/** The certain limits of a problem, a side each. A limit to one value (`eq`) is two of them under one id. */
export function certainRowsOf(problem: FormulaProblem): readonly CertainRow[] {
  return (problem.nutrients ?? []).filter(isCertain).flatMap((nutrient) => {
    const scatter = scatterOf(problem, nutrient.id)
    const rows = limitsOf({ ...problem, nutrients: [nutrient] }).rows.filter((row) => row.id.startsWith('nutrient:'))
    return rows.flatMap((base): CertainRow[] => {
      const row = { id: base.id, nutrient, z: nutrient.z ?? 0, base, scatter }
      return [
        ...(base.lower === null ? [] : [{ ...row, side: 'min' as const }]),
        ...(base.upper === null ? [] : [{ ...row, side: 'max' as const }]),
      ]
    })
  })
}

const dot = (a: readonly number[], b: readonly number[]): number => a.reduce((sum, value, i) => sum + value * (b[i] ?? Number.NaN), 0)

/** The standard deviation of a mix and its gradient over the amounts: sqrt(sum (own x)^2 + sum over keys (sum shared x)^2). */
export function deviationOf({ own, shared }: Scatter, amounts: readonly number[]): { readonly sd: number; readonly gradient: number[] } {
  const together = shared.map((errors) => dot(errors, amounts))
  const sd = Math.hypot(...own.map((each, i) => each * (amounts[i] ?? Number.NaN)), ...together)
  const gradient = own.map((each, i) => each * each * (amounts[i] ?? 0))
  for (const [k, errors] of shared.entries())
    for (const [i, error] of errors.entries()) gradient[i] = (gradient[i] ?? 0) + error * (together[k] ?? 0)
  return { sd, gradient: gradient.map((value) => (sd > 0 ? value / sd : 0)) }
}

/** By how much amounts miss a certain row (negative: to spare), in the unit of its right-hand side, and the size of what it is made of. */
export function missOf(row: CertainRow, amounts: readonly number[]): { readonly by: number; readonly size: number; readonly sd: number } {
  const { sd } = deviationOf(row.scatter, amounts)
  const terms = row.base.dense.map((mean, i) => mean * (amounts[i] ?? Number.NaN))
  const mean = terms.reduce((sum, term) => sum + term, 0)
  const limit = (row.side === 'min' ? row.base.lower : row.base.upper) ?? Number.NaN
  const by = (row.side === 'min' ? limit - mean : mean - limit) + row.z * sd
  return {
    by,
    size:
      Math.max(
        Math.abs(limit),
        terms.reduce((sum, term) => sum + Math.abs(term), 0),
      ) +
      row.z * sd,
    sd,
  }
}

/**
 * The tangent of a certain limit at some amounts, a row under the limit's own id. The deviation is convex and homogeneous of degree one, so
 * gradient x amounts never exceeds it: the row has no constant of its own and holds for every mix that is certain enough.
 */
export function cutAt(row: CertainRow, amounts: readonly number[]): NamedRow {
  const { gradient } = deviationOf(row.scatter, amounts)
  const sign = row.side === 'min' ? -row.z : row.z
  return {
    id: row.id,
    lower: row.side === 'min' ? row.base.lower : null,
    upper: row.side === 'max' ? row.base.upper : null,
    dense: row.base.dense.map((mean, i) => mean + sign * (gradient[i] ?? 0)),
  }
}
