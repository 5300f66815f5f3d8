import { describe, expect, test } from 'vitest'
import { ANALYTES } from '#contract/laboratory'
import { analyteOf } from '#core/laboratory/analyte-words'
import { columnOf, COLUMNS } from '#core/laboratory/columns'
import { en } from '../../../admin/i18n/en'
import { sw } from '../../../admin/i18n/sw'
import { translate } from '../../../admin/i18n/translate'
import { MOST_BYTES, partsOf, templateOf, textOfBytes } from '../../../admin/resources/assays/importFile'
import { analyteName } from '../../../admin/resources/lots/lotWords'

describe('the file of a laboratory', () => {
  test('is read with a mark and without, and with two bytes a letter', () => {
    const utf8 = new TextEncoder().encode('lot;m\u00e9thode')
    expect(textOfBytes(utf8)).toEqual({ kind: 'text', text: 'lot;m\u00e9thode' })
    expect(textOfBytes(new Uint8Array([0xef, 0xbb, 0xbf, ...utf8]))).toEqual({ kind: 'text', text: 'lot;m\u00e9thode' })
    expect(textOfBytes(new Uint8Array([0xff, 0xfe, 0x6c, 0, 0xe9, 0]))).toEqual({ kind: 'text', text: 'l\u00e9' })
  })

  test.each([
    ['a workbook', new Uint8Array([0x50, 0x4b, 3, 4]), 'not-text'],
    ['letters of an old code page', new Uint8Array([0x6d, 0xe9, 0x74]), 'not-utf8'],
    ['a picture', new Uint8Array([0x42, 0, 0x4d]), 'not-text'],
    ['more than the mill takes', new Uint8Array(MOST_BYTES + 1), 'too-large'],
  ])('is refused when it is %s', (_what, bytes, code) => {
    expect(textOfBytes(bytes)).toEqual({ kind: 'fault', code })
  })

  test('goes out in pieces that the wire takes, no letter cut', () => {
    const text = `${'a'.repeat(49_999)}\u{1F414}${'b'.repeat(120_000)}`
    const parts = partsOf(text)
    expect(parts.join('')).toBe(text)
    for (const part of parts) {
      expect(part.length).toBeLessThanOrEqual(100_000)
      expect(() => encodeURIComponent(part)).not.toThrow()
    }
    expect(partsOf('')).toEqual([''])
  })
})

describe.each([
  ['English', en],
  ['Swahili', sw],
])('in %s', (_language, messages) => {
  const t = (key: string, facts = {}) => translate(messages, key, facts)

  test('the mill reads every heading of its own form, and every name that the console gives an analysis', () => {
    const headings = COLUMNS.map((column) => messages.assayImport.columns[column])
    expect(templateOf(headings).trim().replace('\ufeff', '').split(',').map(columnOf)).toEqual([...COLUMNS])
    for (const analyte of ANALYTES) expect(analyteOf(analyteName(analyte, t)), analyte).toBe(analyte)
  })
})
