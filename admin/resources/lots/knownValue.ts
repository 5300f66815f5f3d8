import type { z } from 'zod'
import type { LotValueView } from '#contract/lots'
import { isKnownNutrient } from './nutrientIds'
import { formatShortDate } from '../../format/dates'
import { formatNumber, formatNutrient, nutrientPlaces } from '../../format/numbers'
import type { Language } from '../../i18n/language'
import type { KnownValue } from '../../ui/KnownBy'

export type LotValue = z.output<typeof LotValueView>

/** Half of the range in which 19 of 20 values lie, in standard deviations of a normal distribution. */
export const HALF_95 = 1.96

const textFact = (value: unknown): string | undefined => (typeof value === 'string' && value !== '' ? value : undefined)

const spreadOf = ({ nutrient, sd }: LotValue): string | undefined => {
  if (sd === null || !isKnownNutrient(nutrient)) return undefined
  const shown = formatNumber(HALF_95 * sd, nutrientPlaces(nutrient))
  return /[1-9]/.test(shown) ? shown : undefined
}

/** A value of a lot as the one component shows it: figure, spread, and how it is known. A limit of detection shows as the limit. */
export const lotKnownValue = (value: LotValue, language: Language): KnownValue => {
  const { nutrient, unit, knownBy } = value
  if (value.value === null || !isKnownNutrient(nutrient)) return { knownBy: 'unknown', unit }
  const last = value.steps.at(-1)?.facts ?? {}
  const earlierLots = value.steps.findLast(({ code }) => code === 'supplier-record')?.facts['lots']
  const limit = knownBy === 'below-detection' ? Number(last['value'] ?? value.value) : value.value
  const on = textFact(last['measuredOn'])
  return {
    knownBy,
    unit,
    figure: formatNutrient(nutrient, limit),
    spread: spreadOf(value),
    on: on && formatShortDate(on, language),
    by: textFact(last['laboratory']),
    lots: typeof earlierLots === 'number' ? earlierLots : undefined,
  }
}
