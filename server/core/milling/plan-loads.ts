import { divideEvenly, type Grams } from '../quantity/mass.js'

export type LoadPlan =
  | { readonly kind: 'loads'; readonly loads: readonly Grams[] }
  /** `below-mixer-minimum`: equal loads within the mixer would each be smaller than it can mix well. */
  | { readonly kind: 'cannot'; readonly reason: 'nothing-to-make' | 'below-mixer-minimum' }

export type LoadRequest = { readonly total: Grams; readonly mixerMax: Grams; readonly mixerMin: Grams; readonly floorStep: Grams }

/**
 * The fewest equal loads within the mixer's capacity. They differ by at most a step of the floor scale (the last takes the odd grams)
 * and sum exactly to the total.
 */
export function planLoads({ total, mixerMax, mixerMin, floorStep }: LoadRequest): LoadPlan {
  if (total <= 0 || mixerMax < floorStep) return { kind: 'cannot', reason: 'nothing-to-make' }
  // odd grams below a step count as one more step, so that the load that takes them still fits
  const count = Math.ceil(Math.ceil(total / floorStep) / Math.floor(mixerMax / floorStep))
  const loads = divideEvenly(total, count, floorStep)
  return loads.some((load) => load < mixerMin) ? { kind: 'cannot', reason: 'below-mixer-minimum' } : { kind: 'loads', loads }
}
