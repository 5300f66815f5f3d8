import type { WorstCases } from '../composition/book.js'
import { weakestKnownBy } from '../composition/lot-value.js'
import { NUTRIENTS, type KnownBy, type NutrientId } from '../composition/nutrients.js'
import { activeKey } from './medication.js'
import type { FeedMedication, LotFacts } from './facts.js'
import { amountInLot } from './hazards.js'
import { canCarryMould } from './ingredient-words.js'
import type { Amount } from './limit-check.js'

/** One lot of a mix with its weight; only the shares of the weights matter, except for doses. */
export type MixPart = { readonly lot: LotFacts; readonly kg: number }
export type Mix = readonly MixPart[]

const sum = (numbers: readonly number[]): number => numbers.reduce((total, number) => total + number, 0)
export const mixKg = (mix: Mix): number => sum(mix.map(({ kg }) => kg))

type PartAmount = { readonly kg: number; readonly low: number; readonly high: number | null; readonly knownBy: KnownBy }

const blend = (parts: readonly PartAmount[], unit: string): Amount => {
  const kg = sum(parts.map((part) => part.kg))
  const highs = parts.map((part) => (part.high === null ? null : part.kg * part.high))
  const known = highs.filter((high) => high !== null)
  return {
    low: sum(parts.map((part) => part.kg * part.low)) / kg,
    high: known.length < highs.length ? null : sum(known) / kg,
    unit,
    knownBy: weakestKnownBy(parts.map((part) => part.knownBy)),
  }
}

const used = (mix: Mix): MixPart[] => mix.filter(({ kg }) => kg > 0)

/**
 * The content of one nutrient in a mix, by code of its own beside the solver's: an unknown lot counts nothing at the low end and the
 * worst case of its category at the high end, and without a worst case the high end is unknown.
 */
export const nutrientInMix = (mix: Mix, nutrient: NutrientId, worst: WorstCases): Amount =>
  blend(
    used(mix).map(({ lot, kg }) => {
      const value = lot.composition.values[nutrient]
      if (value.value !== null) return { kg, low: value.value, high: value.value, knownBy: value.knownBy }
      return { kg, low: 0, high: worst.get(lot.composition.category)?.[nutrient]?.value ?? null, knownBy: 'unknown' }
    }),
    NUTRIENTS[nutrient].unit,
  )

/** A contaminant in a mix; lots in which moulds do not grow hold none, untested ones may hold any amount. */
export const contaminantInMix = (mix: Mix, item: string): Amount =>
  blend(
    used(mix).map(({ lot, kg }) => {
      if (!canCarryMould(lot.composition.category)) return { kg, low: 0, high: 0, knownBy: 'structural-zero' }
      const amount = amountInLot(item, lot.composition)
      return amount ? { kg, low: amount.low, high: amount.high, knownBy: amount.knownBy } : { kg, low: 0, high: null, knownBy: 'unknown' }
    }),
    'ug/kg',
  )

/** Per cent of the mix in lots that were not tested for a contaminant and can carry it. */
export const untestedSharePct = (mix: Mix, item: string): number =>
  (100 * sum(used(mix).map(({ lot, kg }) => (canCarryMould(lot.composition.category) && !amountInLot(item, lot.composition) ? kg : 0)))) /
  mixKg(mix)

export const sharePct = (mix: Mix, means: (ingredientKey: string) => boolean): number =>
  (100 * sum(mix.map(({ lot, kg }) => (means(lot.composition.ingredientKey) ? kg : 0)))) / mixKg(mix)

/** The medicines of a mix from the declared strength of its lots: mg/kg = kg of lot x strength % / 100 x 1,000,000 / kg of mix. */
export const dosesInMix = (mix: Mix): FeedMedication[] => {
  const kg = mixKg(mix)
  const byActive = new Map<string, FeedMedication>()
  for (const { lot, kg: lotKg } of used(mix)) {
    if (!lot.medication) continue
    const { active, strengthPct } = lot.medication
    const mgPerKg = (lotKg * strengthPct * 10_000) / kg
    const before = byActive.get(activeKey(active))
    byActive.set(activeKey(active), { active: before?.active ?? active, mgPerKg: mgPerKg + (before?.mgPerKg ?? 0) })
  }
  return [...byActive.values()]
}
