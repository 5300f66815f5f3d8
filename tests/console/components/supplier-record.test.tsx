import { describe, expect, test } from 'vitest'
import { individualsChart } from '#core/quality/control-chart'
import { en } from '../../../admin/i18n/en'
import { sw } from '../../../admin/i18n/sw'
import { translate, type Translate } from '../../../admin/i18n/translate'
import type { StaffKey } from '../../../admin/i18n/words'
import { measuredWords, recordSentence, usualWords, type SupplierRecord } from '../../../admin/resources/suppliers/recordWords'
import { pageOf, SupplierChart, type RunPoint } from '../../../admin/ui/pictures/SupplierChart'
import { readable, rendered } from './rendered.js'

const wordsOf =
  (messages: typeof en | typeof sw): Translate<StaffKey> =>
  (key, facts) =>
    translate(messages, key, facts)

const STEADY = [13, 13.2, 13, 13.2, 13, 13.2, 13, 13.2, 13, 13.2]
const FIRST_LOT = 40

const recordOf = (moistures: readonly (number | null)[]): SupplierRecord => {
  const nothing = { value: null, measured: null, leftOut: 'no-result' as const }
  const points = moistures.map((value, place) => ({
    lotId: `lot-${place}`,
    number: FIRST_LOT + place,
    receivedAt: '2026-08-04T05:00:00.000Z',
    netKg: '1800.000',
    noteKg: null,
    pricePerKg: '40.0000',
    status: 'released' as const,
    protein: nothing,
    moisture: value === null ? nothing : { value, measured: value, leftOut: null },
  }))
  const counted = points.filter(({ moisture }) => moisture.value !== null)
  const chart = individualsChart(counted.map(({ moisture }) => moisture.value ?? 0))
  const none = { lots: 0, mean: null, sd: null, range: null, outside: [] }
  const outside = chart?.outside.flatMap((place) => counted[place]?.number ?? []) ?? []
  const moisture = chart ? { ...chart, lots: counted.length, outside } : none
  return {
    supplierId: 's',
    ingredientId: 'maize_white',
    ingredientNameEn: 'White maize',
    ingredientNameSw: 'Mahindi meupe',
    bookDryMatterPct: 89.63,
    points,
    olderLots: 0,
    protein: none,
    moisture,
    price: null,
    shortWeights: null,
    nextLot: { nutrient: 'CP', unit: '%', value: null, sd: null, knownBy: 'unknown', bookValue: null, steps: [] },
    recordMean: null,
  }
}

const sentence = (moistures: readonly (number | null)[], language: 'en' | 'sw' = 'en'): string => {
  const record = recordOf(moistures)
  const name = language === 'en' ? record.ingredientNameEn : record.ingredientNameSw
  const words = recordSentence({ record, content: 'moisture', name }, wordsOf(language === 'en' ? en : sw))
  return words.replaceAll('\u00a0', ' ')
}

describe('the sentence above the picture of a supplier', () => {
  test('says steady, and between which figures', () => {
    // Neighbours lie 0.2 apart: 2.66 x 0.2 = 0.532 on each side of 13.1.
    expect(sentence(STEADY)).toBe('White maize, moisture: steady. Mean 13.1 %, all 10 lots inside the usual 12.6 % to 13.6 %')
    expect(sentence(STEADY, 'sw')).toContain('Mahindi meupe, unyevu: imara. Wastani 13.1 %, mizigo yote 10')
  })

  test('names the last lot where that one lies outside, else the latest that does', () => {
    expect(sentence([...STEADY, 16])).toMatch(/the last lot, 50, has 16\.0 %, outside the usual/)
    const early = sentence([13, 13.2, 16.1, ...STEADY])
    expect(early).toMatch(/1 of 13 lots is outside the usual .*: lot 42 with 16\.1 %/)
  })

  test('does not take a last lot without result for the last one that counts', () => {
    expect(sentence([...STEADY, 16, null])).toMatch(/the last lot, 50, has 16\.0 %/)
  })

  test('tells no range of fewer than eight lots, and no mean of none', () => {
    expect(sentence(STEADY.slice(0, 7))).toBe(
      'White maize, moisture: mean 13.1 % of 7 lots; too few for a usual range, which is drawn from 8 lots on',
    )
    expect(sentence([13])).toContain('13.0 % in the only lot with a result')
    expect(sentence([null])).toBe('White maize, moisture: no lot has a result that counts yet')
  })
})

describe('the table behind it', () => {
  const t = wordsOf(en)
  test('says why a lot does not count', () => {
    const words = (reading: Parameters<typeof measuredWords>[0]): string => measuredWords(reading, t).replaceAll('\u00a0', ' ')
    expect(words({ value: 8.4, measured: 8.4, leftOut: null })).toBe('8.4 %')
    expect(words({ value: null, measured: null, leftOut: 'no-result' })).toBe('no result')
    expect(words({ value: null, measured: 0.5, leftOut: 'below-detection' })).toBe('under 0.5 %: does not count')
    expect(words({ value: null, measured: 46, leftOut: 'urea' })).toBe('46.0 %: does not count, urea is not ruled out')
  })

  test('calls a lot inside or outside only where a range is drawn', () => {
    const of = (record: SupplierRecord, place: number): string =>
      usualWords(record.points[place] ?? expect.fail(), { record, content: 'moisture' }, t)
    const wet = recordOf([...STEADY, 16, null])
    expect([of(wet, 0), of(wet, 10), of(wet, 11)]).toEqual(['inside', 'outside', 'not told'])
    expect(of(recordOf([13, 14]), 0)).toBe('not told')
  })
})

describe('the picture of a supplier', () => {
  const points: RunPoint[] = recordOf([...STEADY, 16, null]).points.map(({ lotId, number, moisture: { value } }) => ({
    key: lotId,
    value,
    outside: value === 16,
    label: `lot ${number}, 4 Aug`,
    cells: [number],
  }))
  const chart = (perPage: number, range: boolean) => (
    <SupplierChart
      points={points}
      mean={{ at: 13.4, text: 'mean 13.4 %' }}
      range={
        range
          ? [
              { at: 12.2, text: '12.2 %' },
              { at: 14.6, text: '14.6 %' },
            ]
          : null
      }
      sentence="The last lot is wet"
      note="In order of delivery"
      columns={[{ title: 'Lot' }]}
      perPage={perPage}
    />
  )

  test('has a point a lot, joined in order; the one outside with its number, the one without result hatched', () => {
    const markup = rendered(chart(12, true))
    expect(markup.match(/k-run-point/g)).toHaveLength(10)
    expect(markup.match(/class="k-run-outside"/g)).toHaveLength(1)
    expect(markup.match(/class="k-run-unknown"/g)).toHaveLength(1)
    expect(markup.match(/class="k-run-line"/g)).toHaveLength(10)
    expect(markup.match(/class="k-run-limit"/g)).toHaveLength(2)
    const words = readable(chart(12, true))
    expect(words).toContain('lot 50, 4 Aug')
    expect(words).toContain('mean 13.4 % 12.2 % 14.6 %')
    expect(words).not.toContain('Earlier')
  })

  test('draws no range where none is told', () => {
    expect(rendered(chart(12, false))).not.toContain('k-run-limit')
  })

  test('shows the newest lots first and the others by a page', () => {
    expect(readable(chart(5, true))).toContain('Earlier')
    const numbers = [1, 2, 3, 4, 5, 6, 7]
    expect([pageOf(numbers, 0, 3), pageOf(numbers, 1, 3), pageOf(numbers, 2, 3)]).toEqual([[5, 6, 7], [2, 3, 4], [1]])
  })
})
