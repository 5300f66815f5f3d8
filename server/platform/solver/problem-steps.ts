import { SMALLEST_SHARE } from '#core/formulation/figure-size'
import type { MultiProblem } from '#core/formulation/multi'
import type { FormulaProblem, ProblemIngredient } from '#core/formulation/problem'
import type { Fault } from './problem-fault.js'

const stepsOf = ({ increment, minIfUsed, integer }: ProblemIngredient) => [
  { member: 'increment', step: increment ?? 0 },
  { member: 'minIfUsed', step: minIfUsed ?? 0 },
  { member: 'integer', step: integer ? 1 : 0 },
]

/** A step or least use that is lost in so large an amount: nothing is weighed so finely, and no solver tells it from rounding. */
function lostIn(size: number, ingredients: readonly ProblemIngredient[]): Fault {
  const least = SMALLEST_SHARE * size
  for (const [i, ingredient] of ingredients.entries()) {
    const lost = stepsOf(ingredient).find(({ step }) => step > 0 && step < least)
    if (lost)
      return lost.member === 'integer'
        ? `problem.ingredients[${i}].integer: is lost in a batch of ${size}; whole amounts need a batch of at most ${1 / SMALLEST_SHARE}`
        : `problem.ingredients[${i}].${lost.member}: must be at least ${Number(least.toPrecision(3))}, a hundred-millionth of the batch`
  }
  return null
}

export const stepFault = ({ batch, ingredients }: FormulaProblem): Fault => lostIn(batch?.size ?? 0, ingredients)

/** Rules over all products ask what is used of all that is made. */
export const multiStepFault = ({ products, ingredients }: MultiProblem): Fault =>
  lostIn(
    products.reduce((sum, { batch }) => sum + (batch?.size ?? 0), 0),
    ingredients,
  )
