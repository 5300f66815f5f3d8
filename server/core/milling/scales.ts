import { grams, type Grams } from '../quantity/mass.js'

export type ScaleKind = 'floor' | 'table'

/** The mill's two scales: what each can show, and the most that goes on the table scale. A floor step is a whole number of table steps. */
export type Scales = { readonly floorStep: Grams; readonly tableStep: Grams; readonly tableMax: Grams }

export const stepOf = (scales: Scales, kind: ScaleKind): Grams => (kind === 'floor' ? scales.floorStep : scales.tableStep)
export const scaleFor = (scales: Scales, amount: number): ScaleKind => (amount < scales.tableMax ? 'table' : 'floor')

export type AllowedRange = { readonly allowedLow: Grams; readonly allowedHigh: Grams }

/** Batch tolerance: 0.5 % above 50 kg, else 1 % (WGH-04 to WGH-06 of `seed/reference/mill_practice.csv`, textbook, from memory). */
const TOLERANCE_THOUSANDTHS = (target: Grams): number => (target > 50_000 ? 5 : 10)

/**
 * What may be weighed for a target, rounded inwards to what the scale can show; a drug never over its target (WGH-06).
 * Where the scale is too coarse for the tolerance, only the target itself is allowed.
 */
export function allowedRange(target: Grams, step: Grams, isDrug = false): AllowedRange {
  // in thousandths of a gram, so that 0.5 % of a whole gram stays a whole number
  const tolerance = target * TOLERANCE_THOUSANDTHS(target)
  const low = Math.ceil((target * 1000 - tolerance) / (step * 1000)) * step
  const high = isDrug ? target : Math.floor((target * 1000 + tolerance) / (step * 1000)) * step
  return { allowedLow: grams(Math.min(low, target)), allowedHigh: grams(Math.max(high, target)) }
}
