import { describe, expect, test } from 'vitest'
import { NUTRIENT_IDS, KNOWN_BY } from '#core/composition/nutrients'
import { PROBLEM_CODES } from '#core/errors'
import { en } from '../../../admin/i18n/en'
import { memberEn } from '../../../admin/i18n/en-member'
import { sw } from '../../../admin/i18n/sw'
import { memberSw } from '../../../admin/i18n/sw-member'
import { flatten, PLURAL_MARK, translate } from '../../../admin/i18n/translate'

/** Names and words that are written alike in both languages. */
const ALIKE: ReadonlySet<string> = new Set([
  'mill.name',
  'language.en',
  'language.sw',
  'ui.readBack',
  'hazard.urea',
  'finding.country.Kenya',
  'finding.country.India',
  'finding.country.Tanzania',
])

const english = new Map(flatten(en))
const swahili = new Map(flatten(sw))

const placeholders = (text: string): string[] => [...new Set(text.match(/%\{\w+\}/g) ?? [])].sort()

/** "%{kg} = %{bags}" holds no word of any language. */
const hasWords = (text: string): boolean => /\p{L}/u.test(text.replace(/%\{\w+\}/g, ''))

describe('words', () => {
  test('stand under the same keys in both languages', () => {
    expect([...swahili.keys()].sort()).toEqual([...english.keys()].sort())
    expect(flatten(memberSw).map(([key]) => key)).toEqual(flatten(memberEn).map(([key]) => key))
  })

  test('are filled in, with the same facts in the same text, and differ unless they are names', () => {
    for (const [key, text] of english) {
      const other = swahili.get(key) ?? ''
      expect(text.trim(), key).not.toBe('')
      expect(other.trim(), key).not.toBe('')
      expect(placeholders(other), key).toEqual(placeholders(text))
      if (!ALIKE.has(key) && hasWords(text)) expect(other, key).not.toBe(text)
    }
  })

  test('name every problem, nutrient and way of knowing', () => {
    for (const code of PROBLEM_CODES) expect(english.has(`problem.${code}`), code).toBe(true)
    for (const id of NUTRIENT_IDS) expect(english.has(`nutrient.${id}`), id).toBe(true)
    for (const known of KNOWN_BY) expect(english.has(`known.${known}`), known).toBe(true)
  })

  test('use no sign that the fonts of the mill lack', () => {
    for (const [key, text] of [...english, ...swahili])
      expect(text, key).not.toMatch(/[\u2264\u2265\u2190-\u21ff\u2713\u2714\u26a0\u202f\u00b5\u03bc]/)
  })
})

describe('filling in', () => {
  test('puts facts in their places and picks the form for one or several', () => {
    expect(translate(sw, 'unit.bags', { smart_count: 1 })).toBe('mfuko 1')
    expect(translate(sw, 'unit.bags', { smart_count: 4 })).toBe('mifuko 4')
    expect(translate(en, 'state.entry.sent', { time: '14:05' })).toBe('sent 14:05')
  })

  test('shows the key of a text that does not exist', () => {
    expect(translate(en, 'no.such.text')).toBe('no.such.text')
  })

  test('has at most two forms a text', () => {
    for (const [key, text] of [...english, ...swahili]) expect(text.split(PLURAL_MARK).length, key).toBeLessThanOrEqual(2)
  })
})
