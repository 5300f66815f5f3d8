import type { FormulaProblem, ProblemIngredient, ProblemNutrient } from './problem.js'
import type { Violation } from './recheck.js'

/** As for every other limit (see `recheck.ts`): a millionth of the quantities that make it up, or 1e-9 where those are near zero. */
const RELATIVE = 1e-6
const ABSOLUTE = 1e-9

type Used = { readonly amount: number; readonly ingredient: ProblemIngredient }

/** Covariance of the errors of two ingredients: what they share, and of one with itself its own error too. */
function covariance(a: ProblemIngredient, b: ProblemIngredient, nutrient: string): number {
  const [first, second] = [a.spreads?.[nutrient], b.spreads?.[nutrient]]
  if (!first || !second) return 0
  const own = a.id === b.id ? first.own * second.own : 0
  return Object.entries(first.shared ?? {}).reduce((sum, [key, sd]) => sum + sd * (second.shared?.[key] ?? 0), own)
}

/** The standard deviation of the sum of a nutrient over a mix, from the covariances pair by pair. */
function mixDeviation(used: readonly Used[], nutrient: string): number {
  let variance = 0
  for (const a of used) for (const b of used) variance += a.amount * b.amount * covariance(a.ingredient, b.ingredient, nutrient)
  return Math.sqrt(Math.max(0, variance))
}

function ofLimit(nutrient: ProblemNutrient, used: readonly Used[], total: number): Violation[] {
  const { id, z = 0, basis } = nutrient
  const per = basis === 'total' ? 1 : total
  const terms = used.map(({ amount, ingredient }) => ((ingredient.nutrients?.[id] ?? Number.NaN) * amount) / per)
  const mean = terms.reduce((sum, term) => sum + term, 0)
  const margin = (z * mixDeviation(used, id)) / per
  const size = terms.reduce((sum, term) => sum + Math.abs(term), 0) + margin
  const equal = nutrient.min !== undefined && nutrient.min === nutrient.max
  const missed = (side: 'min' | 'max', limit: number | undefined, by: number): Violation[] =>
    limit === undefined || by <= RELATIVE * Math.max(size, Math.abs(limit)) + ABSOLUTE
      ? []
      : [{ id: `nutrient:${id}:${equal ? 'eq' : side}`, by }]
  return [
    ...missed('min', nutrient.min, (nutrient.min ?? 0) - (mean - margin)),
    ...missed('max', nutrient.max, mean + margin - (nutrient.max ?? 0)),
  ]
}

/**
 * Every limit with `z` that amounts (one an ingredient, in order) do not keep with so many standard deviations to spare, worked out from the
 * covariances of the contents and not from the cuts that were given to the solver. Empty when all hold.
 */
export function certaintyViolations(problem: FormulaProblem, amounts: readonly number[]): Violation[] {
  const used = problem.ingredients.flatMap((ingredient, i) => {
    const amount = amounts[i] ?? Number.NaN
    return amount === 0 ? [] : [{ amount, ingredient }]
  })
  const total = used.reduce((sum, { amount }) => sum + amount, 0)
  return (problem.nutrients ?? [])
    .filter(({ z, basis }) => z !== undefined && z !== 0 && (basis === 'total' || total !== 0))
    .flatMap((nutrient) => ofLimit(nutrient, used, total))
}
