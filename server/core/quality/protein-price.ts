import type { BookValue } from '../composition/book.js'
import { weakestKnownBy } from '../composition/lot-value.js'
import type { KnownBy, NutrientId } from '../composition/nutrients.js'

const DIGESTIBLE_OF = [
  ['Lys', 'SID_Lys'],
  ['Met', 'SID_Met'],
  ['Cys', 'SID_Cys'],
  ['Thr', 'SID_Thr'],
  ['Trp', 'SID_Trp'],
  ['Arg', 'SID_Arg'],
  ['Ile', 'SID_Ile'],
  ['Val', 'SID_Val'],
] as const satisfies readonly (readonly [NutrientId, NutrientId])[]

export type DigestibleShare = {
  /** From 0 to 1. */
  readonly share: number
  readonly aminoAcids: readonly NutrientId[]
  readonly knownBy: KnownBy
}

/**
 * How much of the protein a bird digests. The reference prints no such figure of whole protein, but one of each of up to eight amino
 * acids; the share is that of those it has, each by its content. None: undefined.
 */
export const digestibleShare = (book: readonly BookValue[]): DigestibleShare | undefined => {
  const valueOf = (nutrient: NutrientId): BookValue | undefined => book.find((entry) => entry.nutrient === nutrient)
  const known = DIGESTIBLE_OF.flatMap(([total, digestible]) => {
    const [whole, part] = [valueOf(total), valueOf(digestible)]
    return whole === undefined || part === undefined || whole.value <= 0 ? [] : [{ whole, part }]
  })
  if (known.length === 0) return undefined
  const sum = (figures: readonly number[]): number => figures.reduce((total, figure) => total + figure, 0)
  return {
    share: sum(known.map(({ part }) => part.value)) / sum(known.map(({ whole }) => whole.value)),
    aminoAcids: known.map(({ whole }) => whole.nutrient),
    knownBy: weakestKnownBy(known.flatMap(({ whole, part }) => [whole.knownBy, part.knownBy])),
  }
}

/** `proteinPct` as the lot was weighed, because so it was paid. */
export type PaidLot = { readonly netKg: number; readonly pricePerKg: number; readonly proteinPct: number }

/** What a kilogram of crude protein cost over these lots together: all that was paid, by all the protein that came. None: undefined. */
export const pricePerKgProtein = (lots: readonly PaidLot[]): number | undefined => {
  let [paid, proteinKg] = [0, 0]
  for (const { netKg, pricePerKg, proteinPct } of lots) {
    paid += netKg * pricePerKg
    proteinKg += (netKg * proteinPct) / 100
  }
  return proteinKg > 0 ? paid / proteinKg : undefined
}
