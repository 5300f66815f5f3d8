import { describe, expect, test } from 'vitest'
import { en } from '../../../admin/i18n/en'
import { translate } from '../../../admin/i18n/translate'
import { curveTold, limitChoices, noCurveTold, rangeAround } from '../../../admin/resources/formula-versions/curveQuestion'
import { noTestTold, testRows } from '../../../admin/resources/formula-versions/testsTold'
import type { LimitWords } from '../../../admin/resources/formula-versions/limitWords'

const words: LimitWords = { t: (key, facts) => translate(en, key, facts), nameOf: (id) => id }
const told = { words, language: 'en' as const, currency: 'KES' }
const plain = (text: string | undefined): string => (text ?? '').replaceAll('\u00a0', ' ')

describe('what a curve is asked of', () => {
  const limits = {
    nutrients: [{ nutrient: 'CP' as const, min: 16.5, max: 18 }],
    ratios: [],
    ingredients: [
      { ingredientId: 'maize', maxPct: 95 },
      { ingredientId: 'premix', minPct: 0.5, maxPct: 0.5 },
    ],
    groups: [],
    perDay: {
      birds: { weightKg: 1.8, temperatureC: 24, gainG: 0, eggMassG: 52 },
      limits: [
        { nutrient: 'CP' as const, minPerDay: 17.5 },
        { nutrient: 'Ca' as const, maxPerDay: 4.2 },
      ],
    },
  }
  const choices = limitChoices({ stage: 'layer_peak', limits, medication: null, batchKg: '1000', lots: 'released' }, undefined, words)

  test('is each side of each limit by its row, a fixed share by its one row, and a limit a bird and day by its ratio', () => {
    expect(choices.map(({ label, of, from, to }) => [plain(label), of.kind === 'limit' ? of.row : '', from, to])).toEqual([
      ['protein at least 16.5 %', 'nutrient:CP:min', 14.025, 18.975],
      ['protein at most 18.0 %', 'nutrient:CP~worst:max', 15.3, 20.7],
      ['protein, a day at least 17.5 g', 'ratio:per-day-CP:min', 14.875, 20.125],
      ['calcium, a day at most 4.20 g', 'ratio:per-day-Ca~worst:max', 3.57, 4.83],
      ['maize at most 95 %', 'linear:ingredient/maize/max', 80.75, 100],
      ['premix fixed at 0.5 %', 'linear:ingredient/premix/eq', 0, 1],
    ])
  })

  test('runs over a range that is one even around nothing', () => {
    expect(rangeAround(0, 'mEq/kg')).toEqual({ from: -1, to: 1 })
    expect(rangeAround(0, '%')).toEqual({ from: 0, to: 1 })
  })

  test('is answered with the cost now, where the slope changes, and where a mix ends', () => {
    const [choice] = choices
    if (!choice) throw new Error('a limit to choose')
    const points = [
      { at: 14, costPerTonne: 47_000, turns: false, pct: null },
      { at: 16, costPerTonne: 48_000, turns: true, pct: null },
      { at: 17, costPerTonne: 49_000, turns: true, pct: null },
      // shows the shape of what bends, and is no place where the slope changes
      { at: 17.5, costPerTonne: 50_400, turns: false, pct: null },
      { at: 18, costPerTonne: 52_000, turns: false, pct: null },
    ]
    const view = { unit: '%', now: 16.5, exact: true, feasibleFrom: null, feasibleTo: 18, points, reason: null }
    expect(plain(curveTold(view, choice, words, 'KES').sentence)).toBe(
      'At 16.5 %, as today, a tonne costs KES 48,500. The slope changes at 16.0 %: KES 48,000 a tonne; at 17.0 %: KES 49,000 a tonne. A mix is possible up to 18.0 %.',
    )
    expect(curveTold(view, choice, words, 'KES').points.map(({ between }) => between)).toEqual([false, false, false, true, false])
    expect(plain(curveTold({ ...view, points: [] }, choice, words, 'KES').sentence)).toBe(
      'No mix is possible anywhere from 14.0 % to 19.0 %.',
    )
    expect(noCurveTold({ reason: 'whole-amounts' }, words)).toContain('whole bags')
    expect(noCurveTold({ reason: null }, words)).toBeNull()
  })
})

describe('which test pays', () => {
  const test_ = {
    lotId: 'a',
    lotNumber: 47,
    ingredientId: 'soya',
    ingredientNameEn: 'soya cake',
    ingredientNameSw: 'mashudu ya soya',
    nutrient: 'CP',
    unit: '%',
    sdNow: 1.5,
    worth: 2300,
    worthPerTonne: 2300,
    noMixPct: 4,
  }
  test('is told with its worth, its spread, and how often nothing would be left', () => {
    const [row] = testRows({ reason: null, tests: [test_] }, told)
    expect(plain(row?.sentence)).toBe('protein of soya cake, lot 47: a test is worth KES 2,300 for this batch, KES 2,300 a tonne.')
    // 1.96 standard deviations: 19 times in 20 of a normal spread
    expect(plain(row?.more)).toBe('Today it may lie 2.9 % either way. In 4 % of the cases no mix would be left.')
  })
  test('says so where knowing more makes the batch dearer, and hides what is worth nothing', () => {
    const rows = testRows(
      {
        reason: null,
        tests: [
          { ...test_, worth: -120, noMixPct: 0 },
          { ...test_, worth: 0.1 },
        ],
      },
      told,
    )
    expect(rows.map(({ pays, sentence }) => [pays, plain(sentence).slice(0, 74)])).toEqual([
      [false, 'protein of soya cake, lot 47: knowing more makes this batch dearer by KES '],
    ])
  })
  test('asks for certainty first', () => {
    expect(noTestTold({ reason: 'no-certainty' }, words)).toContain('Ask for certainty on a limit first')
    expect(noTestTold({ reason: 'no-mix' }, words)).toContain('no mix today')
    expect(noTestTold({ reason: null }, words)).toBeNull()
  })
})
