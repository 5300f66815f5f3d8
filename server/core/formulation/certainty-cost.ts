import { certainRowsOf } from './certainty-rows.js'
import { atMean, formulateCertain } from './certainty.js'
import type { Formulation } from './formulation.js'
import type { FormulaProblem, ProblemNutrient } from './problem.js'
import type { AnySolver, SolveOptions } from './solve-statement.js'

/** What one limit's certainty costs: what is saved when it alone is asked for at the mean, the others staying certain. */
export type CertaintyPart = {
  readonly id: string
  readonly nutrient: string
  readonly side: 'min' | 'max'
  readonly zAsked: number
  /** Null where there is no such mix. */
  readonly costWithout: number | null
  readonly saves: number | null
}

/** Costs are for the batch of the problem. The parts need not add up to the whole: limits lean on each other. */
export type CertaintyCost = {
  readonly asAsked: Formulation
  /** Every limit held at the mean, which is one time in two. */
  readonly atMean: Formulation
  /** What certainty costs in all; null where one of the two has no mix. */
  readonly difference: number | null
  readonly limits: readonly CertaintyPart[]
}

const costOf = (found: Formulation): number | null => (found.status === 'optimal' ? found.objective : null)
const between = (dear: number | null, cheap: number | null): number | null => (dear === null || cheap === null ? null : dear - cheap)

/** The problem with one side of one limit at the mean. A limit of two sides becomes two, the other side as it was. */
function without(problem: FormulaProblem, limit: ProblemNutrient, side: 'min' | 'max'): FormulaProblem {
  const plain: ProblemNutrient = { ...limit, z: 0, [side === 'min' ? 'max' : 'min']: undefined }
  const rest: ProblemNutrient = { ...limit, [side]: undefined }
  const both = limit.min !== undefined && limit.max !== undefined
  return { ...problem, nutrients: problem.nutrients?.flatMap((one) => (one === limit ? (both ? [plain, rest] : [plain]) : [one])) }
}

/**
 * What certainty costs: the cost as asked against the cost with every limit at the mean (50 %), and per limit. One solve for each certain
 * side and two more.
 */
export function costOfCertainty(problem: FormulaProblem, solver: AnySolver, options: SolveOptions = {}): CertaintyCost {
  const solve = (one: FormulaProblem) => formulateCertain(one, solver, options)
  const asAsked = solve(problem)
  const mean = solve(atMean(problem))
  const cost = costOf(asAsked)
  return {
    asAsked,
    atMean: mean,
    difference: between(cost, costOf(mean)),
    limits: certainRowsOf(problem).map(({ id, nutrient, side, z }) => {
      const costWithout = costOf(solve(without(problem, nutrient, side)))
      return { id, nutrient: nutrient.id, side, zAsked: z, costWithout, saves: between(cost, costWithout) }
    }),
  }
}
