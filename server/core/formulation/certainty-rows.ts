import type { Spread } from '../composition/spread.js'
import { type FormulaProblem, type ProblemNutrient } from './problem.js'
import { activityOf, limitsOf, type NamedRow } from './program.js'
import { addTo, dot, type Sparse } from './symmetric-system.js'

/** Own standard deviations by ingredient, and for each shared key what the ingredients that have it err by under it. */
export type Scatter = { readonly own: Float64Array; readonly shared: readonly Sparse[] }

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
  const shared = new Map<string, { readonly at: number[]; readonly errors: number[] }>()
  for (const [i, spread] of spreads.entries())
    for (const [key, error] of Object.entries(spread?.shared ?? {})) {
      if (error === 0) continue
      const under = shared.get(key) ?? { at: [], errors: [] }
      under.at.push(i)
      under.errors.push(error)
      shared.set(key, under)
    }
  return {
    own: Float64Array.from(spreads, (spread) => spread?.own ?? 0),
    shared: [...shared.values()].map(({ at, errors }) => ({ at, values: Float64Array.from(errors) })),
  }
}

/** The certain limits of a problem, a side each. A limit to one value (`eq`) is two of them under one id. */
export function certainRowsOf(problem: FormulaProblem): readonly CertainRow[] {
  const { batch, ingredients, inclusionBasis } = problem
  return (problem.nutrients ?? []).filter(isCertain).flatMap((nutrient) => {
    const scatter = scatterOf(problem, nutrient.id)
    const { rows } = limitsOf({ batch, ingredients, inclusionBasis, nutrients: [nutrient] })
    return rows
      .filter((row) => row.id.startsWith('nutrient:'))
      .flatMap((base): CertainRow[] => {
        const row = { id: base.id, nutrient, z: nutrient.z ?? 0, base, scatter }
        return [
          ...(base.lower === null ? [] : [{ ...row, side: 'min' as const }]),
          ...(base.upper === null ? [] : [{ ...row, side: 'max' as const }]),
        ]
      })
  })
}

/** The standard deviation of a mix and its gradient over the amounts: sqrt(sum (own x)^2 + sum over keys (sum shared x)^2). */
export function deviationOf(
  { own, shared }: Scatter,
  amounts: readonly number[],
): { readonly sd: number; readonly gradient: Float64Array } {
  const gradient = new Float64Array(own.length)
  let variance = 0
  for (let i = 0; i < own.length; i += 1) {
    const error = (own[i] ?? 0) * (amounts[i] ?? Number.NaN)
    variance += error * error
    gradient[i] = (own[i] ?? 0) * error
  }
  for (const errors of shared) {
    const together = dot(errors, amounts)
    variance += together * together
    if (together !== 0) addTo(gradient, errors, together)
  }
  const sd = Math.sqrt(variance)
  for (let i = 0; i < own.length; i += 1) gradient[i] = sd > 0 ? (gradient[i] ?? 0) / sd : 0
  return { sd, gradient }
}

/** By how much amounts miss a certain row (negative: to spare), in the unit of its right-hand side, and the size of what it is made of. */
export function missOf(row: CertainRow, amounts: readonly number[]): { readonly by: number; readonly size: number; readonly sd: number } {
  const { sd } = deviationOf(row.scatter, amounts)
  const { value: mean, size } = activityOf(row.base.dense, amounts)
  const limit = (row.side === 'min' ? row.base.lower : row.base.upper) ?? Number.NaN
  const by = (row.side === 'min' ? limit - mean : mean - limit) + row.z * sd
  return { by, size: Math.max(Math.abs(limit), size) + row.z * sd, sd }
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
