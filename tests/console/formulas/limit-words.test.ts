import { describe, expect, test } from 'vitest'
import { en } from '../../../admin/i18n/en'
import { sw } from '../../../admin/i18n/sw'
import { translate, type Messages } from '../../../admin/i18n/translate'
import { limitChanges } from '../../../admin/resources/formula-versions/limitChanges'
import { conflictTold, sidesTold, type LimitWords } from '../../../admin/resources/formula-versions/limitWords'

const wordsOf = (messages: Messages, names: Readonly<Record<string, string>>): LimitWords => ({
  t: (key, facts) => translate(messages, key, facts),
  nameOf: (id) => names[id] ?? id,
})
const english = wordsOf(en, { soybean_cake_expeller: 'soya cake' })
const swahili = wordsOf(sw, { soybean_cake_expeller: 'mashudu ya soya' })

/** The sixth of the twenty sentences that the design gives. */
const CONFLICT = [
  { row: 'a', limit: { kind: 'nutrient', nutrient: 'CP', side: 'min', value: 18, unit: '%' } },
  { row: 'b', limit: { kind: 'nutrient', nutrient: 'CF', side: 'max', value: 5, unit: '%' } },
  { row: 'c', limit: { kind: 'ingredient', ingredientId: 'soybean_cake_expeller', side: 'max', value: 20, unit: '%' } },
  { row: 'd', limit: { kind: 'batch', value: 1000, unit: 'kg' } },
]
const plain = (text: string): string => text.replaceAll('\u00a0', ' ')

describe('limits in words', () => {
  test('name what conflicts, each once and without the mass itself', () => {
    expect(plain(conflictTold(CONFLICT, english))).toBe('protein at least 18.0 %, fibre at most 5.0 %, soya cake at most 20 %')
  })

  test('agree in Swahili with the noun that they limit', () => {
    expect(plain(conflictTold(CONFLICT, swahili))).toBe('protini angalau 18.0 %, nyuzinyuzi zisizidi 5.0 %, mashudu ya soya yasizidi 20 %')
  })

  test('tell both sides with the name once', () => {
    expect(sidesTold('protein', { min: '16.5 %', max: '18.0 %' }, english)).toBe('protein at least 16.5 %, at most 18.0 %')
    expect(sidesTold('unyevu', { min: '9 %', max: '13 %' }, swahili)).toBe('unyevu angalau 9 %, usizidi 13 %')
    expect(sidesTold('protein', {}, english)).toBe('protein: no limit')
  })

  test('name a lot whose stock is the limit', () => {
    const stock = [
      { row: 's', limit: { kind: 'stock', lotNumber: 41, ingredientId: 'soybean_cake_expeller', value: '120.000', unit: 'kg' } },
    ]
    expect(plain(conflictTold(stock, english))).toBe('stock of lot 41, soya cake: 120 kg')
  })
})

describe('what another version changes', () => {
  const before = {
    nutrients: [
      { nutrient: 'CP', min: 16.5 },
      { nutrient: 'CF', max: 7 },
    ],
    ratios: [],
    ingredients: [],
    groups: [],
  } satisfies Parameters<typeof limitChanges>[0]
  test('is told by what moved, what is new and what is gone', () => {
    const after = {
      ...before,
      nutrients: [
        { nutrient: 'CP', min: 16 },
        { nutrient: 'Ca', max: 4 },
      ],
    } satisfies typeof before | Parameters<typeof limitChanges>[1]
    expect(limitChanges(before, after, english).map(plain)).toEqual([
      'protein at least 16.5 %; now protein at least 16.0 %',
      'new: calcium at most 4.00 %',
      'no longer: fibre at most 7.0 %',
    ])
  })
  test('is nothing where nothing changed', () => {
    expect(limitChanges(before, before, english)).toEqual([])
  })
})
