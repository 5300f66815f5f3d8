import { KNOWN_BY, type KnownBy, type NutrientId } from './nutrients.js'
import { scaleSpread, totalSd, type Spread } from './spread.js'

/** How a value came about: a code and flat facts; the console tells it in words. */
export type Step = { readonly code: string; readonly facts: Readonly<Record<string, string | number | boolean | null>> }

export type KnownValue = {
  readonly value: number
  readonly knownBy: Exclude<KnownBy, 'unknown'>
  /** Standard deviation in the nutrient's unit; missing where no table or laboratory gives one. */
  readonly sd?: number
  /** The same spread in its parts: the lot's own and what it shares with other lots. `sd` is `totalSd(spread)`. */
  readonly spread?: Spread
  /** The book value as printed, before moisture and assays. */
  readonly bookValue?: number
  readonly from: readonly Step[]
}
export type UnknownValue = {
  readonly value: null
  readonly knownBy: 'unknown'
  readonly bookValue?: number
  readonly from: readonly Step[]
}
export type LotValue = KnownValue | UnknownValue
export type LotValues = Readonly<Record<NutrientId, LotValue>>

export const UNKNOWN: UnknownValue = { value: null, knownBy: 'unknown', from: [{ code: 'no-value', facts: {} }] }

/**
 * The weakest mark among parts, by the order of KNOWN_BY. A structural zero adds nothing to a sum, so it does not weaken
 * one; only a sum of nothing else is itself a structural zero. No parts at all is unknown.
 */
export const weakestKnownBy = (parts: readonly KnownBy[]): KnownBy => {
  const counted = parts.filter((part) => part !== 'structural-zero')
  if (counted.length === 0) return parts.length > 0 ? 'structural-zero' : 'unknown'
  return counted.reduce((weakest, part) => (KNOWN_BY.indexOf(part) > KNOWN_BY.indexOf(weakest) ? part : weakest))
}

/** The mark of a book value that followed a measured one; what rests on memory stays so. */
export const followedKnownBy = (knownBy: KnownValue['knownBy']): KnownValue['knownBy'] =>
  knownBy === 'book' || knownBy === 'measured' ? 'worked-out' : knownBy

/** The two members of a value that say how far it may lie from its mean; none when that is not known. */
export const spreadParts = (spread: Spread | undefined): { spread?: Spread; sd?: number } =>
  spread === undefined ? {} : { spread, sd: totalSd(spread) }

type Follow = { readonly factor: number; readonly step: Step; readonly remark?: boolean }

/** One value times a factor, its spread with it; an unknown stays unknown. `remark` moves book values to worked out. */
export const scaleValue = (value: LotValue, { factor, step, remark = false }: Follow): LotValue => {
  if (value.value === null || value.knownBy === 'structural-zero') return value
  return {
    ...value,
    value: value.value * factor,
    ...spreadParts(value.spread && scaleSpread(value.spread, factor)),
    knownBy: remark ? followedKnownBy(value.knownBy) : value.knownBy,
    from: [...value.from, step],
  }
}

export const scaleValues = (values: LotValues, nutrients: readonly NutrientId[], follow: Follow): LotValues => {
  const changed: Partial<Record<NutrientId, LotValue>> = {}
  for (const nutrient of nutrients) changed[nutrient] = scaleValue(values[nutrient], follow)
  return { ...values, ...changed }
}
