import type { Result } from './assays.js'
import { AMINO_ACIDS } from './follow.js'
import { followParent } from './follow-parent.js'
import type { KnownValue, LotValue, LotValues, Step } from './lot-value.js'
import type { NutrientId } from './nutrients.js'
import { regressionOf } from './regressions.js'
import type { UreaState } from './urea.js'

/** With urea in it, nitrogen above what was believed is no protein: the lower of both counts. Undefined: the result may be believed. */
export const cappedProtein = (before: LotValue, protein: Result, urea: UreaState): KnownValue | undefined => {
  if (urea !== 'found' || before.value === null || protein.value <= before.value) return undefined
  const step = { code: 'protein-capped-urea-found', facts: { measuredPct: protein.value, bookProteinPct: before.value } }
  return { ...before, knownBy: 'measured', from: [...before.from, step] }
}

const codeOf = (urea: UreaState, factor: number): string => {
  if (urea === 'not-needed' || urea === 'clear') return 'follows-protein'
  if (factor < 1) return 'follows-lower-protein'
  return urea === 'found' ? 'kept-urea-found' : 'kept-urea-untested'
}

/**
 * Amino acids, total and digestible, follow the protein: by a published regression where there is one, else in proportion. Upwards only
 * where the nitrogen may be believed: with urea found, or untested where urea is a known fraud, they are not credited with more; less
 * protein still means less of them. What is uncertain of the protein is uncertain of them, plus the scatter of the ratio itself.
 */
export const followProtein = (values: LotValues, after: KnownValue, urea: UreaState, ingredientKey: string): LotValues => {
  const before = values.CP
  if (before.value === null || before.value <= 0) return values
  const code = codeOf(urea, after.value / before.value)
  const facts = { proteinPct: after.value, bookProteinPct: before.value }
  if (code.startsWith('kept-')) return kept(values, { code, facts: { ...facts, factor: 1 } })
  const changed: Partial<Record<NutrientId, LotValue>> = {}
  for (const nutrient of AMINO_ACIDS) {
    const regression = regressionOf(ingredientKey, nutrient, before.value, after.value)
    const factor = regression?.factor ?? after.value / before.value
    const step = regression
      ? { code: 'follows-regression', facts: { ...facts, factor, source: regression.source } }
      : { code, facts: { ...facts, factor } }
    changed[nutrient] = followParent(values[nutrient], { before, after, factor, step, ...regression?.spread })
  }
  return { ...values, ...changed }
}

const kept = (values: LotValues, step: Step): LotValues => {
  const changed: Partial<Record<NutrientId, LotValue>> = {}
  for (const nutrient of AMINO_ACIDS) {
    const value = values[nutrient]
    if (value.value !== null && value.knownBy !== 'structural-zero') changed[nutrient] = { ...value, from: [...value.from, step] }
  }
  return { ...values, ...changed }
}
