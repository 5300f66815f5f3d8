import type { AnalyteId } from './analytes.js'

export type Variation = { readonly points: number; readonly source: string; readonly read: boolean }
type Band = readonly [upToPct: number, points: number]

/**
 * Tolerances in percentage points of Nevada Administrative Code 587.620 (read; `seed/reference/assay_error.csv` and row AV-20 of
 * `mill_practice.csv`): two results further apart than this are not the same lot analysed twice.
 */
const NEVADA: Partial<Record<AnalyteId, readonly Band[]>> = {
  CP: [
    [10, 0.4],
    [20, 0.6],
    [30, 0.8],
    [Infinity, 1],
  ],
  EE: [[Infinity, 0.5]],
  CF: [
    [10, 0.5],
    [20, 0.8],
    [30, 1],
    [Infinity, 1.5],
  ],
  ash: [
    [5, 0.4],
    [10, 0.6],
    [20, 0.8],
    [Infinity, 1],
  ],
  Ca: [
    [5, 0.3],
    [10, 0.5],
    [20, 0.7],
    [Infinity, 1],
  ],
  totP: [
    [5, 0.3],
    [10, 0.5],
    [20, 0.7],
    [Infinity, 1],
  ],
}

/** From memory: AAFCO analytical variation, per cent of the level (`mill_practice.csv` AV-08 to AV-11). */
const RELATIVE_FROM_MEMORY: Partial<Record<AnalyteId, (level: number) => number>> = {
  // salt 7 / x + 5 (AV-08); chloride is 0.6066 of salt
  Cl: (level) => 7 / (level / 0.6066) + 5,
  Na: (level) => 15 / level + 9,
  K: () => 15,
  Lys: () => 20,
}

/** From memory: two laboratories differ by at most 2.8 x 0.3 points of moisture (`assay_error.csv`, "good feed laboratory"). */
const MOISTURE: Variation = { points: 2.8 * 0.3, source: 'good feed laboratory', read: false }

/** The largest difference of two results of one lot at this level, or undefined where nothing is published or remembered. */
export const analyticalVariation = (analyte: AnalyteId, level: number): Variation | undefined => {
  if (analyte === 'moisture') return MOISTURE
  const band = NEVADA[analyte]?.find(([upToPct]) => level <= upToPct)
  if (band) return { points: band[1], source: 'NAC587.620', read: true }
  const relative = RELATIVE_FROM_MEMORY[analyte]
  return relative && level > 0 ? { points: (relative(level) / 100) * level, source: 'AAFCO', read: false } : undefined
}
