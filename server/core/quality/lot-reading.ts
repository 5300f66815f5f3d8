import { resultsOf } from '../composition/assays.js'
import { contentsOfEarlierLot, type EarlierLot, type EarlierLotKind } from '../composition/supplier-record.js'

/** Why a lot does not count: nothing measured, less than the laboratory can see, or nitrogen that need not be protein. */
export const LEFT_OUT = ['no-result', 'below-detection', 'urea'] as const
export type LeftOut = (typeof LEFT_OUT)[number]

/** `value` is what counts and `measured` what the laboratory wrote, both in per cent; `leftOut` says why a lot has no value. */
export type LotReading =
  | { readonly value: number; readonly measured: number; readonly leftOut: null }
  | { readonly value: null; readonly measured: number | null; readonly leftOut: LeftOut }

const without = (leftOut: LeftOut, measured: number | null = null): LotReading => ({ value: null, measured, leftOut })

/** Protein as the belief of the supplier's next lot counts it: at the dry matter of the book, and never where urea may have made it. */
export const proteinOfLot = (lot: EarlierLot, kind: EarlierLotKind): LotReading => {
  const result = resultsOf(lot.assays).CP
  if (result === undefined) return without('no-result')
  if (result.belowDetection) return without('below-detection', result.value)
  const counted = contentsOfEarlierLot(lot, kind).find(([nutrient]) => nutrient === 'CP')
  return counted === undefined ? without('urea', result.value) : { value: counted[1], measured: result.value, leftOut: null }
}

/** Moisture by assay; a meter at the gate errs too much to be drawn in one line with an oven. */
export const moistureOfLot = ({ assays }: EarlierLot): LotReading => {
  const result = resultsOf(assays).moisture
  if (result === undefined) return without('no-result')
  return result.belowDetection ? without('below-detection', result.value) : { value: result.value, measured: result.value, leftOut: null }
}
