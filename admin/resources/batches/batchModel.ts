import type { z } from 'zod'
import type { BatchDetailView, BatchLineView, BatchView } from '#contract/production'
import { formatKg as exactKg, grams, parseKg, sumGrams, type Grams } from '#core/quantity/mass'
import { formatKg, formatNumber } from '../../format/numbers'
import { readTyped } from '../../format/typed'
import type { Language } from '../../i18n/language'
import type { StaffKey } from '../../i18n/words'

export type Batch = z.output<typeof BatchView>
export type BatchDetail = z.output<typeof BatchDetailView>
export type BatchLine = z.output<typeof BatchLineView>
export type Scale = BatchLine['scale']

type NamedFeed = { readonly feedNameEn: string; readonly feedNameSw: string }
export const feedName = (row: NamedFeed, language: Language): string => (language === 'en' ? row.feedNameEn : row.feedNameSw)
export const lineName = (line: BatchLine, language: Language): string => (language === 'en' ? line.nameEn : line.nameSw)
export const lineKey = ({ part, position }: Pick<BatchLine, 'part' | 'position'>): string => `${part}.${position}`

export const scaleUnit = (scale: Scale): 'kg' | 'g' => (scale === 'table' ? 'g' : 'kg')

/** A floor scale shows tenths of a kilogram; what is no whole tenth keeps its grams. */
const floorPlaces = (mass: Grams): number => (mass % 100 === 0 ? 1 : 3)

/** A mass as its scale shows it, without the unit: "82.0" on the floor scale, "1,250" on the table scale. */
export const scaleFigure = (mass: Grams, scale: Scale): string =>
  scale === 'table' ? formatNumber(mass, 0) : formatNumber(exactKg(mass), floorPlaces(mass))
export const scaleWeight = (mass: Grams, scale: Scale): string => `${scaleFigure(mass, scale)}\u00a0${scaleUnit(scale)}`
export const kgOnScale = (kg: string, scale: Scale): string => scaleWeight(parseKg(kg), scale)

/** Pre-blend first: its jar has to be ready before the load's own row asks for it. */
export const stepsOf = ({ lines }: Pick<BatchDetail, 'lines'>): readonly BatchLine[] => [
  ...lines.filter(({ part }) => part === 'pre-blend').sort((a, b) => a.position - b.position),
  ...lines.filter(({ part }) => part === 'load').sort((a, b) => a.position - b.position),
]
export const nextStep = (batch: Pick<BatchDetail, 'lines'>): BatchLine | undefined =>
  stepsOf(batch).find(({ actualKg }) => actualKg === null)

export type TypedWeight = { readonly kind: 'weight'; readonly mass: Grams } | { readonly kind: 'fault'; readonly words: StaffKey }
const fault = (words: StaffKey): TypedWeight => ({ kind: 'fault', words })

/** What was typed, in the unit of the scale: kilograms with at most three decimals, or whole grams. */
export const readWeight = (typed: string, scale: Scale): TypedWeight => {
  const reading = readTyped(typed)
  if (reading.kind === 'empty') return fault('load.fault.empty')
  if (reading.kind === 'ask') return fault('load.fault.ask')
  if (reading.kind === 'not-a-number') return fault('field.notANumber')
  if (reading.text.startsWith('-')) return fault('load.fault.negative')
  const [whole = '', rest = ''] = reading.text.split('.')
  if (whole.length > (scale === 'table' ? 9 : 6)) return fault('field.checkUnit')
  if (scale === 'table') return /^0*$/.test(rest) ? { kind: 'weight', mass: grams(Number(whole)) } : fault('load.fault.wholeGrams')
  if (rest.length > 3) return fault('load.fault.decimals')
  return { kind: 'weight', mass: parseKg(`${whole}.${rest.padEnd(3, '0')}`) }
}

export type Judged =
  { readonly kind: 'inside' } | { readonly kind: 'over' | 'under'; readonly difference: Grams; readonly otherUnit: boolean }

/** Off by this factor a figure was rather written in the other unit than weighed. */
const OTHER_UNIT = 100

/** Is a weight inside its range? The difference is to the target, as one takes out or adds. */
export const judgeWeight = (line: BatchLine, actual: Grams): Judged => {
  const target = parseKg(line.targetKg)
  const otherUnit = actual > target * OTHER_UNIT || (actual > 0 && actual * OTHER_UNIT < target)
  if (actual > parseKg(line.allowedHighKg)) return { kind: 'over', difference: grams(actual - target), otherUnit }
  if (actual < parseKg(line.allowedLowKg)) return { kind: 'under', difference: grams(target - actual), otherUnit }
  return { kind: 'inside' }
}

/** What went in by lot: the rows of the pre-blend stand for its own row in the load. */
export const weighedIn = (lines: readonly BatchLine[]): Grams =>
  sumGrams(lines.flatMap(({ lotId, actualKg }) => (lotId === null || actualKg === null ? [] : [parseKg(actualKg)])))

export type BagsOf = { readonly bags: number; readonly part: string | null }
export const bagsOf = (kg: string, bagKg: string): BagsOf => {
  const [mass, bag] = [parseKg(kg), parseKg(bagKg)]
  const bags = bag > 0 ? Math.floor(mass / bag) : 0
  const rest = grams(mass - bags * bag)
  return { bags, part: rest === 0 ? null : formatKg(exactKg(rest), floorPlaces(rest)) }
}

/** Its bags are with the member. */
export const isCollected = ({ status, finishedAt, bagsOnHandKg }: Batch): boolean =>
  status === 'done' && finishedAt !== null && Number(bagsOnHandKg) === 0

/** The manager is told of more than this (reasons-to-hold of the mill: over 2 %, common practice, no source). */
const TELL_SHARE = 0.02
export const differsTooMuch = (made: Grams, weighed: Grams): boolean => Math.abs(made - weighed) > TELL_SHARE * weighed
