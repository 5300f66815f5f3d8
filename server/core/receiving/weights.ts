import { grams, type Grams } from '../quantity/mass.js'

export type Weighing = {
  readonly gross: Grams
  readonly tare: Grams
  readonly bags: number | null
  /** What one empty bag weighs in grams; null: it was not weighed, and counts as part of the goods. */
  readonly emptyBagG: number | null
}

/** Kilograms of goods on the scale: gross less the lorry (or pallet) less the empty bags. Not above 0 where the figures cannot be right. */
export const netOf = ({ gross, tare, bags, emptyBagG }: Weighing): Grams => grams(gross - tare - (emptyBagG ?? 0) * (bags ?? 0))

export type NoteDifference = {
  /** Weighed less noted: negative where less came than the note says. */
  readonly difference: Grams
  /** The same in per cent of the note. */
  readonly pct: number
}

/** What the scale says against what the delivery note says; the note is above 0. */
export const noteDifference = (net: Grams, noted: Grams): NoteDifference => ({
  difference: grams(net - noted),
  pct: (100 * (net - noted)) / noted,
})

export type ShortWeights = {
  readonly lots: number
  /** Lots that weighed less than their note. */
  readonly shortLots: number
  readonly noted: Grams
  /** All lots together, weighed less noted. */
  readonly difference: Grams
}

/** What a supplier's notes said of all lots that had one against what the scale said; null where no note had kilograms. */
export const shortWeights = (lots: readonly { readonly net: Grams; readonly noted: Grams | null }[]): ShortWeights | null => {
  const told = lots.flatMap(({ net, noted }) => (noted === null ? [] : [{ net, noted }]))
  if (told.length === 0) return null
  return {
    lots: told.length,
    shortLots: told.filter(({ net, noted }) => net < noted).length,
    noted: grams(told.reduce((sum, { noted }) => sum + noted, 0)),
    difference: grams(told.reduce((sum, { net, noted }) => sum + net - noted, 0)),
  }
}
