import type { Grams } from '../quantity/mass.js'

/** Four weeks hold each weekday as often as any other. Common practice, no source. */
export const COVER_WINDOW_DAYS = 28

/** Whole days for which free stock lasts at the use of the window, rounded down; null where nothing was used, so that nothing tells. */
export const coverDays = (free: Grams, usedInWindow: Grams): number | null =>
  usedInWindow <= 0 ? null : Math.floor((Math.max(0, free) * COVER_WINDOW_DAYS) / usedInWindow)
