import type { Spread } from '../composition/spread.js'
import type { NutrientId } from '../composition/nutrients.js'

/**
 * What a lot holds of a nutrient, as-fed, in the nutrient's unit; or that it is unknown, with the worst case of its kind of
 * ingredient where one has a source. A nutrient that does not stand in `contents` is unknown with no worst case.
 */
export type Content = number | { readonly unknown: true; readonly worstCaseMax?: number | undefined }
export type Contents = { readonly [nutrient in NutrientId]?: Content | undefined }

/** A lot that may go into a mix. */
export type MixLot = {
  readonly id: string
  readonly ingredientId: string
  readonly pricePerKg: number
  readonly freeKg: number
  readonly contents: Contents
  /** How far the known contents may lie from what is believed; missing: not known how far. */
  readonly spreads?: { readonly [nutrient in NutrientId]?: Spread | undefined } | undefined
}

export const contentOf = (contents: Contents, nutrient: NutrientId): Content => contents[nutrient] ?? { unknown: true }
export const isKnown = (content: Content): content is number => typeof content === 'number'

/** Contents that can be below zero: for these "nothing" is no safe side, so an unknown one is never counted. */
const CAN_BE_NEGATIVE: ReadonlySet<NutrientId> = new Set<NutrientId>(['DEB'])

/** What a content is worth towards a minimum: unknown is worth nothing. Null where it cannot be counted. */
export const worthOf = (content: Content, nutrient: NutrientId): number | null =>
  isKnown(content) ? content : CAN_BE_NEGATIVE.has(nutrient) ? null : 0

/** What a content counts towards a maximum: unknown at its worst case. Null where none is known. */
export const burdenOf = (content: Content, nutrient: NutrientId): number | null =>
  isKnown(content) ? content : CAN_BE_NEGATIVE.has(nutrient) ? null : (content.worstCaseMax ?? null)
