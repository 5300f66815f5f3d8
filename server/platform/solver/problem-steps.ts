import { SMALLEST_SHARE } from '#core/formulation/figure-size'
import { upperBoundsOf } from '#core/formulation/integer-bounds'
import { chosenIndices } from '#core/formulation/integer-choice'
import { leastUsed } from '#core/formulation/integer-program'
import type { LinearModel } from '#core/formulation/linear-model'
import { multiLimits, type MultiProblem } from '#core/formulation/multi'
import type { FormulaProblem, ProblemIngredient } from '#core/formulation/problem'
import { limitsOf, type NamedLimits } from '#core/formulation/program'
import type { StatedProblem } from '#core/formulation/stated-problem'
import { each, type Fault } from './problem-fault.js'

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

/**
 * A solver takes a switch for off up to a hundred-thousandth, so that the most of an ingredient times that can be used while it is off. Within a
 * million times the least use, or ten thousand batches, answers were right (100 random problems); with ten million batches three of 100 were wrong and seven had none.
 */
const LEAST_USES = 1e6
const BATCHES = 1e4

function blindFault(limits: NamedLimits, batch: number, { bigM, ingredients }: Pick<FormulaProblem, 'bigM' | 'ingredients'>): Fault {
  const { choices = [] } = limits
  const chosen = chosenIndices(choices)
  const bounds = chosen.length === 0 ? [] : upperBoundsOf(limits)
  for (const index of chosen) {
    const most = bounds[index] ?? bigM ?? 0
    const allowed = Math.max(LEAST_USES * leastUsed(choices, index, () => most), BATCHES * batch)
    // what has no least use of its own has a millionth of its most, which rounding can put on either side
    if (most <= allowed * (1 + 1e-9)) continue
    const i = index % ingredients.length
    const where = (bounds[index] ?? null) === null ? 'problem.bigM' : `problem.ingredients[${i}].max`
    return `${where}: must be at most ${allowed} for '${ingredients[i]?.id ?? ''}', whose use is a choice; or give a least use (minIfUsed) nearer to it`
  }
  return null
}

export const stepFault = ({ batch, ingredients }: FormulaProblem): Fault => lostIn(batch?.size ?? 0, ingredients)

const batchesOf = ({ products }: MultiProblem): number => products.reduce((sum, { batch }) => sum + (batch?.size ?? 0), 0)

/** Rules over all products ask what is used of all that is made. */
export const multiStepFault = (problem: MultiProblem): Fault => lostIn(batchesOf(problem), problem.ingredients)

/**
 * A linear model has no least use to measure a switch by; its row has: what moves by less than a billionth of the switch cannot be told from
 * rounding. Of 250 random plans with four switches no answer was wrong up to ten thousand million times the other coefficient (there some were
 * refused because none could be proven); of 60 with a million million times three were.
 */
const SWITCHES = 1e9

/** The first whole number of a model that a row multiplies by too much; `at` gives the member that its coefficient stands in. */
export function modelSwitchFault({ vars, rows }: LinearModel, at: (row: number, variable: string) => string): Fault {
  const whole = new Set(vars.flatMap(({ id, type }) => (type === 'I' || type === 'B' ? [id] : [])))
  return each(rows, ({ coefs }, i) => {
    const given = Object.entries(coefs).filter(([, value]) => value !== 0)
    const least = Math.min(...given.map(([, value]) => Math.abs(value)))
    const found = given.find(([id, value]) => whole.has(id) && Math.abs(value) > SWITCHES * least)
    return found === undefined
      ? null
      : `${at(i, found[0])}: must be at most ${SWITCHES * least} in size, a billion times the smallest of its row, for a variable that must be whole`
  })
}

/** Whether more could be used of an ingredient whose use is a choice than a solver can switch on and off. For problems that are not too large. */
export function switchFault(stated: Exclude<StatedProblem, { kind: 'mps' }>): Fault {
  if (stated.kind === 'lp') return modelSwitchFault(stated.problem.model, (row, variable) => `problem.model.rows[${row}].coefs.${variable}`)
  if (stated.kind === 'multi') return blindFault(multiLimits(stated.problem), batchesOf(stated.problem), stated.problem)
  return blindFault(limitsOf(stated.problem), stated.problem.batch?.size ?? 0, stated.problem)
}
