import { nutrientsNeeded, valueOf, type FormulaProblem } from './problem.js'

/** The first content that a limit needs and nobody gives, in words; null when all are given. */
export function unknownContent(problem: FormulaProblem): string | null {
  const needed = nutrientsNeeded(problem)
  for (const { id, nutrients } of problem.ingredients) {
    const missing = needed.find((nutrient) => valueOf(nutrients, nutrient) === undefined)
    if (missing !== undefined) return `${missing} of ${id}`
  }
  return null
}
