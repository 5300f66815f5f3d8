import { describe, expect, test } from 'vitest'
import { composeLot } from '#core/composition/compose-lot'
import { en } from '../../../admin/i18n/en'
import { sw } from '../../../admin/i18n/sw'
import { translate } from '../../../admin/i18n/translate'
import {
  emptyRow,
  firstAnalytes,
  readBy,
  readSample,
  typedRows,
  type Sample,
  type SampleRow,
} from '../../../admin/resources/assays/recordModel'
import { daysLeft, methodWords, resultWords } from '../../../admin/resources/lots/lotWords'
import { lotKnownValue } from '../../../admin/resources/lots/knownValue'
import { stepWords } from '../../../admin/resources/lots/stepWords'

const words = (key: string, facts = {}) => translate(en, key, facts)
const swahili = (key: string, facts = {}) => translate(sw, key, facts)
const sample = (rows: Sample['rows']): Sample => ({ laboratory: 'Mill laboratory', measuredOn: '2026-11-25', rows })

describe('a sample as it is typed', () => {
  test('sends only the rows that were filled in, each in its own unit', () => {
    const reading = readSample(
      sample([emptyRow('moisture'), { ...emptyRow('CP'), value: '8.4' }, { ...emptyRow('aflatoxin_B1'), value: '2', below: true }]),
    )
    expect(reading).toMatchObject({
      kind: 'body',
      body: {
        results: [
          { analyte: 'CP', value: 8.4, unit: '%', belowDetection: false, confirmed: false },
          { analyte: 'aflatoxin_B1', value: 2, unit: 'ug/kg', belowDetection: true },
        ],
      },
    })
  })

  test('tells faults at the place among the rows that are sent', () => {
    const rows = [emptyRow('moisture'), { ...emptyRow('CP'), value: '1,5', method: ' ' }]
    expect(typedRows(sample(rows))).toHaveLength(1)
    expect(readSample(sample(rows))).toEqual({
      kind: 'faults',
      faults: { 'results.0.value': 'field.notANumber', 'results.0.method': 'field.empty' },
    })
  })

  test('asks for the answer of a test that was ticked, and for the limit that something was under', () => {
    const strip: SampleRow = { ...emptyRow('aflatoxin_total'), ...readBy(emptyRow('aflatoxin_total'), 'aflatoxin-strip') }
    const rows = [{ ...emptyRow('moisture'), value: '13.1' }, { ...emptyRow('CF'), below: true }, strip]
    expect(readSample(sample(rows))).toEqual({
      kind: 'faults',
      faults: { 'results.1.value': 'field.empty', 'results.2.value': 'field.chooseOne' },
    })
    // urea stands there with its usual test: nobody ticked it
    expect(typedRows(sample([emptyRow('urea')]))).toEqual([])
  })

  test('keeps the figure when the meter is ticked after it was typed, and takes no limit or word for a figure', () => {
    const typed = { ...emptyRow('moisture'), value: '13.1' }
    expect(readBy(typed, 'moisture-meter')).toMatchObject({ quickTest: 'moisture-meter', value: '13.1' })
    expect(readBy({ ...typed, quickTest: 'moisture-meter' }, null)).toMatchObject({ quickTest: null, value: '13.1' })
    expect(readBy({ ...typed, below: true }, 'moisture-meter')).toMatchObject({ value: '', below: false })
    expect(readBy({ ...emptyRow('aflatoxin_total'), value: '12' }, 'aflatoxin-strip')).toMatchObject({ value: '', kitLimit: '20' })
    expect(readBy({ ...emptyRow('urea'), value: 'found' }, null)).toMatchObject({ value: '', kitLimit: '' })
  })

  test('begins with what is measured of every lot, then with what this one still waits for', () => {
    expect(
      firstAnalytes([
        { hazard: 'protein', duty: 'required', tested: false },
        { hazard: 'aflatoxin', duty: 'asked', tested: false },
        { hazard: 'salt', duty: 'asked', tested: true },
        { hazard: 'sand', duty: 'none', tested: false },
      ]),
    ).toEqual(['moisture', 'CP', 'aflatoxin_total'])
  })

  test('with nothing in it is not sent', () => {
    expect(readSample(sample([emptyRow('moisture')]))).toEqual({ kind: 'faults', faults: { 'results.0.value': 'lab.nothingTyped' } })
  })
})

describe('results in words', () => {
  const result = { analyte: 'aflatoxin_B1', value: 2, unit: 'ug/kg', belowDetection: true }
  test('say that one was below detection, and never show it as a figure of its own', () => {
    expect(resultWords(result, words)).toBe('under 2\u00a0ug/kg')
    expect(resultWords({ ...result, belowDetection: false, value: 26 }, words)).toBe('26\u00a0ug/kg')
  })

  test('name a quick test in the language of the reader, and a method as the laboratory wrote it', () => {
    expect(methodWords({ quickTest: 'moisture-meter', method: 'moisture meter' }, swahili)).toBe('kipima unyevu')
    expect(methodWords({ quickTest: null, method: 'oven, 103 C' }, swahili)).toBe('oven, 103 C')
  })

  test('say what a strip of urea showed', () => {
    expect(resultWords({ analyte: 'urea', value: 0, unit: '%', belowDetection: false }, words)).toBe('none found')
    expect(resultWords({ analyte: 'urea', value: 1, unit: '%', belowDetection: false }, swahili)).toBe('urea imeonekana')
  })
})

test('days left count calendar days, the last day included', () => {
  expect(daysLeft('2026-11-25', '2026-11-25')).toBe(0)
  expect(daysLeft('2026-12-01', '2026-11-25')).toBe(6)
  expect(daysLeft('2026-11-22', '2026-11-25')).toBe(-3)
})

describe('where a value of a lot comes from', () => {
  const assay = {
    sd: null,
    belowDetection: false,
    method: 'oven',
    laboratory: 'Mill laboratory',
    measuredOn: '2026-11-24',
    unit: '%',
  } as const
  // invented figures: only the sentences are looked at
  const lot = composeLot({
    ingredientKey: 'soybean_cake_expeller',
    category: 'oilseed_meal',
    book: [
      { nutrient: 'DM', value: 90, knownBy: 'book', source: 'TABLE' },
      { nutrient: 'CP', value: 42, knownBy: 'memory', source: 'TABLE' },
      { nutrient: 'Lys', value: 2.6, knownBy: 'book', source: 'TABLE' },
    ],
    assays: [
      { ...assay, analyte: 'moisture', value: 12 },
      { ...assay, analyte: 'CP', value: 40 },
    ],
  })

  test('is a sentence in both languages for every step, with no code and no gap left', () => {
    for (const value of Object.values(lot.values))
      for (const step of value.from)
        for (const [t, language] of [
          [words, 'en'],
          [swahili, 'sw'],
        ] as const) {
          const told = stepWords(step, t, language)
          expect(told, step.code).not.toMatch(/%\{|steps\.|undefined|NaN/)
          expect(told, step.code).not.toBe(t('steps.other'))
        }
  })

  test('shows what nobody knows without a digit', () => {
    const unknown = { nutrient: 'Na', unit: '%', value: null, sd: null, knownBy: 'unknown', bookValue: null, steps: [] } as const
    expect(lotKnownValue({ ...unknown, steps: [] }, 'en')).toEqual({ knownBy: 'unknown', unit: '%' })
  })
})
