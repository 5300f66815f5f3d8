import type { z } from 'zod'
import type { SupplierRecordView } from '#contract/suppliers'
import { LEAST_LOTS } from '#core/quality/control-chart'
import { formatPercent } from '../../format/numbers'
import type { Translate } from '../../i18n/translate'
import type { StaffKey } from '../../i18n/words'

export type SupplierRecord = z.output<typeof SupplierRecordView>
export type Content = 'protein' | 'moisture'
export type Chart = SupplierRecord[Content]
export type LotPoint = SupplierRecord['points'][number]

const CONTENT_NAMES = { protein: 'nutrient.CP', moisture: 'nutrient.moisture' } as const satisfies Record<Content, StaffKey>
export const contentName = (content: Content, t: Translate<StaffKey>): string => t(CONTENT_NAMES[content])

/** A deviation is smaller than what it is the deviation of, and needs a digit more. */
export const deviationText = (sd: number): string => formatPercent(sd, 2)

const lastCounted = (points: readonly LotPoint[], content: Content): LotPoint | undefined =>
  points.findLast((point) => point[content].value !== null)

type Told = { readonly record: SupplierRecord; readonly content: Content; readonly name: string }

/** Steady or drifting, as a sentence; it stands above the picture and is its name for those who do not see it. */
export const recordSentence = ({ record, content, name }: Told, t: Translate<StaffKey>): string => {
  const { mean, range, lots, outside } = record[content]
  const facts = { name, content: contentName(content, t), lots, least: LEAST_LOTS, mean: formatPercent(mean ?? 0) }
  if (mean === null) return t('suppliers.record.none', facts)
  if (range === null) return t('suppliers.record.few', { ...facts, smart_count: lots, value: facts.mean })
  const ends = { ...facts, low: formatPercent(range.low), high: formatPercent(range.high) }
  const number = outside.at(-1)
  if (number === undefined) return t('suppliers.record.inside', ends)
  const value = formatPercent(record.points.find((point) => point.number === number)?.[content].value ?? 0)
  const isLast = lastCounted(record.points, content)?.number === number
  return t(isLast ? 'suppliers.record.lastOutside' : 'suppliers.record.someOutside', {
    ...ends,
    number,
    value,
    smart_count: outside.length,
  })
}

/** What the laboratory wrote of a lot, and why it does not count where it does not. */
export const measuredWords = ({ measured, leftOut }: LotPoint[Content], t: Translate<StaffKey>): string => {
  const found = measured === null ? '' : formatPercent(measured)
  return leftOut === null ? found : t(`suppliers.record.leftOut.${leftOut}`, { limit: found, found })
}

export const usualWords = (point: LotPoint, { record, content }: Omit<Told, 'name'>, t: Translate<StaffKey>): string => {
  const { range, outside } = record[content]
  if (range === null || point[content].value === null) return t('suppliers.record.notTold')
  return t(outside.includes(point.number) ? 'suppliers.record.notUsual' : 'suppliers.record.usual')
}
