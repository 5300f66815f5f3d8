import { describe, expect, it } from 'vitest'
import { composeLot, type LotComposition } from '#core/composition/compose-lot'
import { NUTRIENT_IDS, NUTRIENTS } from '#core/composition/nutrients'
import { en } from '../../../admin/i18n/en'
import { sw } from '../../../admin/i18n/sw'
import { flatten, translate, type Translate } from '../../../admin/i18n/translate'
import type { StaffKey } from '../../../admin/i18n/words'
import { lotKnownValue } from '../../../admin/resources/lots/knownValue'
import { stepWords } from '../../../admin/resources/lots/stepWords'
import { anAssay, aBelievedLot, ASSAY_ERRORS } from '../../core/composition/builders.js'

const t: Translate<StaffKey> = (key, facts) => translate(en, key, facts)

const record = { key: 'supplier/s/maize_yellow', means: { CP: { mean: 8.6, lots: 4 } } }
const all = (analyte: string) => [anAssay('moisture', 13), anAssay(analyte, 9)]
const LOTS: readonly LotComposition[] = [
  aBelievedLot('maize_yellow', [anAssay('CP', 8.4), anAssay('EE', 4), anAssay('starch', 62), anAssay('sugars', 2)], {
    supplierRecord: record,
  }),
  aBelievedLot('maize_yellow', all('CP'), { supplierRecord: record }),
  aBelievedLot('soybean_cake_expeller', [anAssay('CP', 44)]),
  aBelievedLot('soybean_cake_expeller', [anAssay('CP', 44), anAssay('urea', 1)]),
  aBelievedLot('soybean_cake_expeller', [anAssay('CP', 33)]),
  aBelievedLot('omena_dagaa_meal', [anAssay('ash', 20), anAssay('AIA', 4), anAssay('totP', 2), anAssay('Lys', 4), anAssay('Met', 1.2)]),
  aBelievedLot('groundnut_kernel', [anAssay('Thr', 1), anAssay('Trp', 0.2, { belowDetection: true })]),
  aBelievedLot('limestone', [anAssay('Ca', 37), anAssay('Ca', 30)]),
  composeLot({ ingredientKey: 'moringa_leaf_meal', category: 'leaf_meal', book: [], assays: [], assayErrors: ASSAY_ERRORS }),
]

describe('where a value of a lot comes from', () => {
  const steps = LOTS.flatMap(({ values }) => NUTRIENT_IDS.flatMap((nutrient) => values[nutrient].from))

  it('has words of its own for every step in both languages', () => {
    const [english, swahili] = [new Map(flatten(en)), new Map(flatten(sw))]
    const codes = new Set(steps.map(({ code }) => code))
    expect(codes.size).toBeGreaterThan(18)
    for (const code of codes) {
      expect(english.get(`steps.${code}`), code).toBeTruthy()
      expect(swahili.get(`steps.${code}`), code).toBeTruthy()
    }
  })

  it('leaves no gap unfilled', () => {
    for (const step of steps) expect(stepWords(step, t, 'en'), step.code).not.toMatch(/undefined|NaN|%\{/)
  })

  it('tells protein of a tested lot step by step, and shows half of the 95 % range', () => {
    const [lot] = LOTS
    const value = lot?.values.CP
    if (!lot || value === undefined || value.value === null) throw new Error('protein is known here')
    expect(value.from.map((step) => stepWords(step, t, 'en'))).toEqual([
      'book: 8.1 (KJPS-49-2-79-T1)',
      // 1.96 x 8.1 x 5.25 %.
      'lots differ: ± 0.83 (KJPS-49-2-79-T1)',
      expect.stringMatching(/^earlier lots of this supplier: 4, mean 8\.6; they count for 57 %: 8\.39 ± /),
      expect.stringMatching(/^measured: 8\.4 %, Kjeldahl, Ridge Laboratory, /),
      expect.stringMatching(/^measured 8\.4, before it 8\.39: the result counts for \d\d %, so 8\.4 ± /),
    ])
    const { from, sd = null, knownBy, bookValue = null } = value
    const shown = lotKnownValue(
      {
        nutrient: 'CP',
        unit: NUTRIENTS.CP.unit,
        value: value.value,
        sd,
        knownBy,
        bookValue,
        steps: from.map(({ code, facts }) => ({ code, facts: { ...facts } })),
      },
      'en',
    )
    expect(shown).toMatchObject({ knownBy: 'measured', by: 'Ridge Laboratory', figure: '8.4', spread: (1.96 * (sd ?? 0)).toFixed(1) })
  })
})
