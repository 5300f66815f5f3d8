import type { FormulaProblem } from './problem.js'
import { limitsOf } from './program.js'
import { costOfAmounts, recheck } from './recheck.js'
import type { Statement } from './statement.js'

/** One blend, ready to be solved. */
export const statementOf = (problem: FormulaProblem): Statement => ({
  ids: problem.ingredients.map((ingredient) => ingredient.id),
  limits: limitsOf(problem),
  recheck: (amounts) => recheck(problem, amounts),
  costOf: (amounts) => costOfAmounts(problem, amounts),
  bigM: problem.bigM,
})
