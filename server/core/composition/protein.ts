import type { Result } from './assays.js'
import { AMINO_ACIDS } from './follow.js'
import { scaleValues, type LotValues, type Step } from './lot-value.js'
import type { UreaState } from './urea.js'

/**
 * Amino acids, total and digestible, follow measured protein in proportion. Upwards only where the nitrogen may be believed:
 * with urea found, or untested where urea is a known fraud, they are not credited with more; less protein still means less of them.
 */
export const followProtein = (values: LotValues, protein: Result, urea: UreaState): LotValues => {
  const before = values.CP.value
  if (before === null || before <= 0) return values
  const measured = protein.belowDetection ? 0 : protein.value
  const believed = urea === 'not-needed' || urea === 'clear'
  const factor = believed ? measured / before : Math.min(1, measured / before)
  const code = believed
    ? 'follows-protein'
    : factor < 1
      ? 'follows-lower-protein'
      : urea === 'found'
        ? 'kept-urea-found'
        : 'kept-urea-untested'
  const step: Step = { code, facts: { proteinPct: measured, bookProteinPct: before, factor } }
  return scaleValues(values, AMINO_ACIDS, { factor, step, remark: factor !== 1 })
}

/** With urea in it, nitrogen above the book's is no protein: the lower of both counts. */
export const believedProtein = (values: LotValues, protein: Result, urea: UreaState): Result => {
  const before = values.CP.value
  if (urea !== 'found' || before === null || protein.value <= before) return protein
  return {
    ...protein,
    value: before,
    step: { code: 'protein-capped-urea-found', facts: { measuredPct: protein.value, bookProteinPct: before } },
  }
}
