import type { NutrientId } from '../composition/nutrients.js'
import type { NutrientLimit } from './limits.js'

/** What a published requirement says of one nutrient, in the nutrient's unit. */
export type Requirement = {
  readonly nutrient: NutrientId
  readonly min?: number | undefined
  readonly target?: number | undefined
  readonly max?: number | undefined
}

/**
 * A requirement as a limit of a formula. A target is a minimum with somebody's margin on top, and certainty is a margin too: with certainty
 * over a half the minimum is used, else the target at the mean, never both margins at once. A target without a minimum is used at the mean
 * whatever is asked.
 */
export function requirementLimit({ nutrient, min, target, max }: Requirement, certainty = 0.5): NutrientLimit {
  const sides = (least: number | undefined): NutrientLimit => ({
    nutrient,
    ...(least === undefined ? {} : { min: least }),
    ...(max === undefined ? {} : { max }),
  })
  const onlyTarget = min === undefined && target !== undefined
  return certainty > 0.5 && !onlyTarget ? { ...sides(min), certainty } : sides(target ?? min)
}
