import { ANALYTES, ANALYTE_IDS } from './analytes.js'
import { resultsOf, type Assay } from './assays.js'
import type { RecordMean } from './belief.js'
import type { NutrientId } from './nutrients.js'
import { ureaState } from './urea.js'

export type EarlierLot = { readonly assays: readonly Assay[]; readonly intakeMoisturePct: number | null }

/** What a supplier's earlier lots of one ingredient held, and the key under which all its lots share what is uncertain of it. */
export type SupplierRecord = { readonly key: string; readonly means: Partial<Record<NutrientId, RecordMean>> }

/** Older lots than these say little of what a supplier brings today (working judgement, no source). */
export const MOST_EARLIER_LOTS = 20

export const supplierKey = (supplierId: string, ingredientKey: string): string => `supplier/${supplierId}/${ingredientKey}`

export type Content = readonly [nutrient: NutrientId, value: number]

/** What the reading of a lot takes from the book of its ingredient. */
export type EarlierLotKind = { readonly bookDryMatterPct: number | undefined; readonly ureaIsFraud: boolean }

/**
 * What was measured of one lot, at the dry matter of the book where the lot's own is known. Nitrogen of a lot with urea is no protein,
 * nor that of an untested lot where urea is a known fraud.
 */
export const contentsOfEarlierLot = (
  { assays, intakeMoisturePct }: EarlierLot,
  { bookDryMatterPct, ureaIsFraud }: EarlierLotKind,
): readonly Content[] => {
  const results = resultsOf(assays)
  const moisture = results.moisture?.value ?? intakeMoisturePct
  const scale = moisture === null || bookDryMatterPct === undefined || moisture >= 100 ? 1 : bookDryMatterPct / (100 - moisture)
  const urea = ureaState(results.urea, ureaIsFraud)
  const proteinIsBelieved = urea === 'clear' || urea === 'not-needed'
  return ANALYTE_IDS.flatMap((analyte): Content[] => {
    const { nutrient } = ANALYTES[analyte]
    const result = results[analyte]
    if (nutrient === null || analyte === 'moisture' || !result || result.belowDetection) return []
    if (analyte === 'CP' && !proteinIsBelieved) return []
    return [[nutrient, result.value * scale]]
  })
}

/** The mean of each nutrient over the lots in which it was measured. No lots: no means. */
export const supplierRecord = (key: string, lots: readonly (readonly Content[])[]): SupplierRecord => {
  const means: Partial<Record<NutrientId, RecordMean>> = {}
  for (const [nutrient, value] of lots.flat()) {
    const { mean, lots: n } = means[nutrient] ?? { mean: 0, lots: 0 }
    means[nutrient] = { mean: (mean * n + value) / (n + 1), lots: n + 1 }
  }
  return { key, means }
}
