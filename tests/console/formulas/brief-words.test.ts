import { describe, expect, test } from 'vitest'
import type { MixView } from '#contract/formulas'
import { en } from '../../../admin/i18n/en'
import { translate } from '../../../admin/i18n/translate'
import type { StaffKey } from '../../../admin/i18n/words'
import { sidesShort } from '../../../admin/resources/formula-versions/LimitInputs'
import { commonSource, sameSource } from '../../../admin/resources/formula-versions/LimitSource'
import { largestTold, sureNutrients } from '../../../admin/resources/formula-versions/mixFigures'

const t = (key: StaffKey, facts = {}) => translate(en, key, facts)
const plain = (text: string): string => text.replaceAll(/[\u00a0\u2009]/g, ' ')

describe('both sides of a limit on one line', () => {
  test.each([
    ['16', '18.5', '16 – 18.5'],
    ['2650', '2850', '2,650 – 2,850'],
    ['16', '', 'at least 16'],
    ['', '6.5', 'at most 6.5'],
    ['0.5', '0.5', '0.5'],
    ['', '', ''],
    // what cannot be read stands as it was typed
    ['1,5', '', 'at least 1,5'],
  ])('at least "%s", at most "%s"', (min, max, told) => {
    expect(plain(sidesShort(min, max, { t }))).toBe(told)
  })
})

describe('the source that is said once', () => {
  const from = (nutrient: string, source: string, seen: string) => ({ nutrient, source, seen, basis: 'as fed', fromTarget: false })
  test('is that of most limits which nobody changed', () => {
    const sources = [
      from('CP', 'NRC1994', 'read'),
      from('Ca', 'REC', 'memory'),
      from('avP', 'REC', 'memory'),
      from('AME', 'REC', 'changed'),
      from('CF', 'REC', 'changed'),
      from('fat', 'REC', 'changed'),
    ]
    expect(commonSource(sources)).toEqual(from('Ca', 'REC', 'memory'))
    expect(sources.map((one) => sameSource(one, commonSource(sources)))).toEqual([false, true, true, false, false, false])
  })
  test('is not said of the minimum that is the target of the same source', () => {
    const sources = [from('CP', 'REC', 'read'), from('Ca', 'REC', 'read'), { ...from('Lys', 'REC', 'read'), fromTarget: true }]
    expect(sources.map((one) => sameSource(one, commonSource(sources)))).toEqual([true, true, false])
  })
  test('is none where no two limits share one, so that each row says its own', () => {
    expect(commonSource([from('CP', 'NRC1994', 'read'), from('Ca', 'NRC1994', 'memory')])).toBeUndefined()
    expect(commonSource([])).toBeUndefined()
    expect(sameSource(undefined, undefined)).toBe(false)
  })
})

describe('the head of a live answer', () => {
  test('names the three largest parts with what they make up together', () => {
    const part = (name: string, sharePct: number) => ({ key: name, name, sharePct, kg: '0', lots: [] })
    const parts = [part('Salt', 0.2), part('Soya cake', 15.1), part('White maize', 40.8), part('Maize bran', 25)]
    expect(plain(largestTold(parts, t))).toBe('White maize, Maize bran, Soya cake: together 81 % of the mix.')
  })
  test('names the nutrients that are held more surely than on average', () => {
    const nutrient = (id: string, asked: number | null): MixView['nutrients'][number] => ({
      nutrient: id,
      value: 16.5,
      unit: '%',
      knownBy: 'book',
      weakShare: 0,
      unknownPct: 0,
      sd: null,
      min: 16,
      max: null,
      state: 'inside',
      certainty: asked === null ? null : { asked, reached: asked },
    })
    const mix = { nutrients: [nutrient('CP', 0.95), nutrient('Ca', null), nutrient('avP', 0.5)] }
    expect(sureNutrients(mix, t)).toEqual(['protein, 19 in 20'])
  })
})
