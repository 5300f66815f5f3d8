import type { z } from 'zod'
import type { DiscrepancyView } from '#contract/production'
import { formatKg } from '../../format/numbers'
import type { Translate } from '../../i18n/translate'
import type { StaffKey } from '../../i18n/words'

export type Discrepancy = z.output<typeof DiscrepancyView>
type Words = { readonly t: Translate<StaffKey> }
type Facts = Readonly<Record<string, string | number | boolean | null>>

const KINDS = [
  'outside-allowed-range',
  'weighed-before-start',
  'more-than-in-store',
  'made-differs',
  'limit-broken',
  'safety-broken',
  'released-lot-fails',
  'rejected-lot-reserved',
  'held-lot-reserved',
  'limited-lot-reserved',
  'late-result-fails',
  'count-below-reserved',
  'making-differs',
  'handed-over-without-code',
  'handed-over-on-hold',
  'handed-over-unsafe',
  'sheet-entered-late',
  'sheet-before-load',
] as const
type Kind = (typeof KINDS)[number]
const knownKind = (kind: string): Kind | undefined => KINDS.find((known) => known === kind)

export const kindWords = (kind: string, t: Words['t']): string => t(`discrepancy.kind.${knownKind(kind) ?? 'other'}`)

const text = (fact: string | number | boolean | null | undefined): string => (fact === null || fact === undefined ? '' : String(fact))
const isKg = (fact: unknown): fact is string => typeof fact === 'string' && /^-?\d+\.\d{3}$/.test(fact)

/** All weights of one sentence with the same decimals: tenths, or grams where one of them has any (the table scale). */
const kgWith = (facts: Facts): ((fact: string | number | boolean | null | undefined) => string) => {
  const places = Object.values(facts)
    .filter(isKg)
    .every((fact) => fact.endsWith('00'))
    ? 1
    : 3
  return (fact) => (isKg(fact) ? formatKg(fact, places) : text(fact))
}

/** "84.6 kg, not 82.0 kg": what was weighed and what was meant; empty where the facts have neither. */
export const factsKg = (facts: Facts, t: Words['t']): string => {
  if (!isKg(facts['actualKg']) || !isKg(facts['targetKg'])) return ''
  const kg = kgWith(facts)
  return t('discrepancy.told.notKg', { actual: kg(facts['actualKg']), target: kg(facts['targetKg']) })
}

/** "nutrient:CP:min" of a broken limit, in words. */
export const limitWords = (id: string, { t }: Words): string => {
  const [, what = id, side = ''] = id.split(':')
  const nutrient = t(`nutrient.${what}` as StaffKey)
  const ingredient = t(`ingredient.${what}` as StaffKey)
  const name = nutrient !== `nutrient.${what}` ? nutrient : ingredient !== `ingredient.${what}` ? ingredient : what
  if (side === 'min') return t('discrepancy.told.limitMin', { name })
  return side === 'max' ? t('discrepancy.told.limitMax', { name }) : name
}

const listed = (ids: string, named: (id: string) => string, t: Words['t']): string =>
  ids === '' ? t('bench.noneOfThem') : ids.split(', ').map(named).join(', ')

/** What happened, with its figures, as one sentence. */
export const discrepancyTold = ({ kind, lotNumber, batchNumber, facts }: Discrepancy, words: Words): string => {
  const { t } = words
  const known = knownKind(kind)
  if (known === undefined) return ''
  const kg = kgWith(facts)
  const key = known === 'outside-allowed-range' && lotNumber === null ? 'outsidePreBlend' : known
  return t(`discrepancy.told.${key}`, {
    load: text(batchNumber ?? facts['batchNumber']),
    lot: text(lotNumber ?? facts['lotNumber']),
    actual: kg(facts['actualKg']),
    target: kg(facts['targetKg']),
    low: kg(facts['allowedLowKg']),
    high: kg(facts['allowedHighKg']),
    kg: kg(facts['kg'] ?? facts['reservedKg']),
    weighed: kg(facts['inKg']),
    made: kg(facts['madeKg']),
    taken: kg(facts['takenKg']),
    expected: kg(facts['expectedKg']),
    got: kg(facts['gotKg']),
    difference: kg(facts['differenceKg']),
    limits: listed(text(facts['limits']), (id) => limitWords(id, words), t),
    rules: listed(text(facts['rules']), (id) => id, t),
    orders: text(facts['orders']),
    order: text(facts['orderNumber']),
    sheet: text(facts['sheet']),
    days: text(facts['days']),
  })
}
