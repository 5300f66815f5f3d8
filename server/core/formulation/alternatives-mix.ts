import { withCertainty, certaintyReport } from './certainty-report.js'
import { certainRowsOf } from './certainty-rows.js'
import type { Formulation, OptimalFormulation } from './formulation.js'
import type { FormulaProblem } from './problem.js'
import { limitsOf } from './program.js'
import { costOfAmounts, recheck } from './recheck.js'
import { bindingOf, failed } from './statement-report.js'

/** Lots by the ingredient they are of. */
export type IngredientOf = { readonly [lotId: string]: string }

/** One ingredient of a problem with the positions of its lots. */
export type Member = { readonly ingredientId: string; readonly indices: readonly number[] }

/** The ingredients of a problem, in order of their first lot. A lot that is not named is an ingredient by itself. */
export function membersOf({ ingredients }: FormulaProblem, ingredientOf: IngredientOf): readonly Member[] {
  const indices = new Map<string, number[]>()
  for (const [i, { id }] of ingredients.entries()) {
    const ingredientId = Object.hasOwn(ingredientOf, id) ? (ingredientOf[id] ?? id) : id
    indices.set(ingredientId, [...(indices.get(ingredientId) ?? []), i])
  }
  return [...indices].map(([ingredientId, of]) => ({ ingredientId, indices: of }))
}

export const kgOf = ({ indices }: Member, amounts: readonly number[]): number =>
  indices.reduce((sum, index) => sum + (amounts[index] ?? 0), 0)

export const amountsIn = ({ ingredients }: FormulaProblem, found: OptimalFormulation): readonly number[] =>
  ingredients.map(({ id }) => found.amounts[id] ?? 0)

/** Less of an ingredient than this share of the mix is rounding: what the re-check of counts takes for a use too. */
export const USED = 1e-9

export function usedMembers(members: readonly Member[], amounts: readonly number[]): readonly Member[] {
  const total = amounts.reduce((sum, amount) => sum + Math.abs(amount), 0)
  return members.filter((member) => kgOf(member, amounts) > USED * total)
}

/**
 * How different a mix is from another of the same mass: half of the sum of absolute differences by ingredient, which is the mass that other
 * ingredients have taken over. Two lots of one ingredient are no difference.
 */
export const movedKg = (members: readonly Member[], from: readonly number[], to: readonly number[]): number =>
  members.reduce((sum, member) => sum + Math.abs(kgOf(member, to) - kgOf(member, from)), 0) / 2

/** The problem with those ingredients alone. Limits on what is left out stay: a minimum of it is then a conflict, and is told as one. */
export function keepingMembers(problem: FormulaProblem, kept: readonly Member[]): FormulaProblem {
  const indices = new Set(kept.flatMap((member) => member.indices))
  return { ...problem, ingredients: problem.ingredients.filter((_, i) => indices.has(i)) }
}

/** An answer of a problem with fewer ingredients as one of the whole problem: of what was left out there is nothing. */
export function withAllLots(problem: FormulaProblem, found: Formulation): Formulation {
  if (found.status !== 'optimal') return found
  return { ...found, amounts: Object.fromEntries(problem.ingredients.map(({ id }) => [id, found.amounts[id] ?? 0])) }
}

/** A mix that was chosen for something else than its cost, checked against every limit: it has a cost, but limits and prices have none in it. */
export function mixOf(problem: FormulaProblem, amounts: readonly number[], solver: string): Formulation {
  const broken = recheck(problem, amounts)
  if (broken.length > 0)
    return failed('recheck', `limits not kept: ${broken.map(({ id, by }) => `${id} by ${by.toPrecision(3)}`).join(', ')}`)
  const answer: OptimalFormulation = {
    status: 'optimal',
    objective: costOfAmounts(problem, amounts),
    amounts: Object.fromEntries(problem.ingredients.map(({ id }, i) => [id, amounts[i] ?? Number.NaN])),
    binding: bindingOf(limitsOf(problem), amounts),
    shadowPrices: {},
    reducedCosts: {},
    breakEvenPrices: {},
    solver,
  }
  const certain = certainRowsOf(problem)
  if (certain.length === 0) return answer
  const report = certaintyReport(certain, { amounts, priced: [], lowerBound: Number.NEGATIVE_INFINITY, rounds: 0 }, 1)
  return withCertainty(answer, certain, report, amounts)
}
