import type { FormulaProblem, ProblemIngredient, ProblemLogic } from './problem.js'
import { RECHECK_ABSOLUTE, RECHECK_RELATIVE, type Violation } from './recheck.js'

/** The slack of the re-check for an amount among amounts of that size. */
const slackOf = (size: number): number => RECHECK_RELATIVE * size + RECHECK_ABSOLUTE

function offSteps(id: string, step: number, amount: number): Violation[] {
  const by = Math.abs(amount - step * Math.round(amount / step))
  return by <= slackOf(Math.abs(amount)) ? [] : [{ id, by }]
}

function ofIngredient({ id, integer, increment, minIfUsed }: ProblemIngredient, amount: number): Violation[] {
  const least = minIfUsed ?? 0
  // between nothing and the least: by how much the nearer of the two is missed
  const between = Math.min(Math.abs(amount), Math.max(0, least - amount))
  return [
    ...(integer ? offSteps(`integer:${id}`, 1, amount) : []),
    ...(increment === undefined ? [] : offSteps(`increment:${id}`, increment, amount)),
    ...(between <= slackOf(least) ? [] : [{ id: `minIfUsed:${id}`, by: between }]),
  ]
}

function ofLogic(logic: ProblemLogic, isUsed: (id: string) => boolean): Violation[] {
  const id = `logic:${logic.id}`
  const broken = (by: number): Violation[] => (by <= 0 ? [] : [{ id, by }])
  switch (logic.type) {
    case 'atMost':
      return broken(logic.items.filter(isUsed).length - logic.k)
    case 'atLeast':
      return broken(logic.k - logic.items.filter(isUsed).length)
    case 'eitherOr':
      return broken(Math.abs(logic.items.filter(isUsed).length - 1))
    case 'implies':
      return broken(isUsed(logic.if) && !isUsed(logic.then) ? 1 : 0)
  }
}

/**
 * Rules on which ingredients are used together that amounts break. A `by` counts ingredients. Used is what is more than a billionth of all
 * amounts together: less is rounding, and far less than the least that the solver takes for a use. What the check of a least use takes for
 * none is none here too.
 */
export function brokenLogic(
  { ingredients, logic = [] }: Pick<FormulaProblem, 'ingredients' | 'logic'>,
  amounts: readonly number[],
): Violation[] {
  const total = amounts.reduce((sum, amount) => sum + Math.abs(amount), 0)
  const isUsed = ({ minIfUsed = 0 }: ProblemIngredient, i: number): boolean =>
    (amounts[i] ?? Number.NaN) > Math.max(minIfUsed > 0 ? slackOf(minIfUsed) : 0, 1e-9 * total)
  const used = new Set(ingredients.filter(isUsed).map(({ id }) => id))
  return logic.flatMap((one) => ofLogic(one, (id) => used.has(id)))
}

/** Whole numbers, steps, least uses and logic that amounts break. */
export const brokenChoices = (problem: FormulaProblem, amounts: readonly number[]): Violation[] => [
  ...problem.ingredients.flatMap((ingredient, i) => ofIngredient(ingredient, amounts[i] ?? Number.NaN)),
  ...brokenLogic(problem, amounts),
]
