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
 * Which of its figures a draft takes: the published minimum and maximum, each held by itself with a certainty (0.5: on average), or the
 * published target as it stands.
 */
export type RequirementUse = { readonly kind: 'minimum'; readonly certainty: number } | { readonly kind: 'target' }

/**
 * A requirement as a limit of a formula. A target is a minimum with somebody's margin on top, and certainty is a margin too: a target is held
 * on average, never both margins at once. So is a target that stands alone, whatever is asked; where there is no target the minimum stands
 * in for it.
 */
export function requirementLimit({ nutrient, min, target, max }: Requirement, use: RequirementUse): NutrientLimit {
  const least = use.kind === 'target' ? (target ?? min) : (min ?? target)
  const sides = { nutrient, ...(least === undefined ? {} : { min: least }), ...(max === undefined ? {} : { max }) }
  const onlyTarget = min === undefined && target !== undefined
  return use.kind === 'minimum' && use.certainty > 0.5 && !onlyTarget ? { ...sides, certainty: use.certainty } : sides
}
