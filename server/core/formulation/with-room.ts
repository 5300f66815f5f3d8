import type { FormulaLimits } from './limits.js'

type Sides = { readonly min?: number | undefined; readonly max?: number | undefined }

/** Pulls both sides in by a share of their size; sides that would cross, such as those of a fixed share, stay as they are. */
const pulledIn = ({ min, max }: Sides, share: number): Sides => {
  const low = min === undefined ? undefined : min + Math.abs(min) * share
  const high = max === undefined ? undefined : max - Math.abs(max) * share
  return low !== undefined && high !== undefined && low > high ? { min, max } : { min: low, max: high }
}

const sharesPulledIn = <L extends { readonly minPct?: number | undefined; readonly maxPct?: number | undefined }>(
  limit: L,
  share: number,
): L => {
  const { min, max } = pulledIn({ min: limit.minPct, max: limit.maxPct }, share)
  return { ...limit, minPct: min, maxPct: max }
}

/**
 * Limits a little tighter than those asked for, so that a mix which meets them can be rounded to what scales show and still keep the real
 * ones. `share` is a share of each limit's own value (0.002 moves 16.5 % to 16.533 %). Fixed shares stay. The method is our own.
 */
export const withRoom = (limits: FormulaLimits, share: number): FormulaLimits => ({
  nutrients: limits.nutrients.map((limit) => ({ ...limit, ...pulledIn(limit, share) })),
  ratios: limits.ratios.map((limit) => ({ ...limit, ...pulledIn(limit, share) })),
  ingredients: limits.ingredients.map((limit) => sharesPulledIn(limit, share)),
  groups: limits.groups.map((limit) => sharesPulledIn(limit, share)),
})
