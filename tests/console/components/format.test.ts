import { describe, expect, test } from 'vitest'
import { countBags } from '../../../admin/format/bags'
import {
  daysFrom,
  formatDate,
  formatMemberTime,
  formatPickDay,
  formatShortDate,
  formatTime,
  isoDay,
  spokenTime,
} from '../../../admin/format/dates'
import { formatAccount, formatPrice } from '../../../admin/format/money'
import { formatExactKg, formatKg, formatNumber, formatNutrient, formatPercent, formatPoison } from '../../../admin/format/numbers'
import { formatPhone, readPhone } from '../../../admin/format/phones'
import { readTyped } from '../../../admin/format/typed'

describe('numbers', () => {
  test.each([
    ['12345.6', 1, '12,345.6'],
    ['2.675', 2, '2.68'],
    ['999.95', 1, '1,000.0'],
    ['-5', 0, '\u22125'],
    ['-0.04', 1, '0.0'],
    ['0.095', 3, '0.095'],
    ['1000000', 0, '1,000,000'],
    [0.1 + 0.2, 1, '0.3'],
  ])('%s with %i decimals reads %s', (value, places, expected) => {
    expect(formatNumber(value, places)).toBe(expected)
  })

  test('joins figure and unit with a space that does not break', () => {
    expect(formatKg('82')).toBe('82.0\u00a0kg')
    expect(formatExactKg('304.75')).toBe('304.750\u00a0kg')
    expect(formatPercent('16.46')).toBe('16.5\u00a0%')
    expect(formatPoison('26.4')).toBe('26\u00a0ug/kg')
  })

  test('shows nutrients no finer than the mill can know them', () => {
    expect(formatNutrient('CP', 16.543)).toBe('16.5')
    expect(formatNutrient('Ca', 3.6)).toBe('3.60')
    expect(formatNutrient('SID_Lys', 0.7345)).toBe('0.73')
    expect(formatNutrient('AME', 2753.4)).toBe('2,750')
    expect(formatNutrient('DEB', 226.5)).toBe('227')
  })

  test.each([
    ['Na', 0.0044, '0.0044'],
    ['Na', 0.008, '0.008'],
    ['Na', 0.015, '0.02'],
    ['Na', -0.0044, '\u22120.0044'],
    ['Na', 0, '0.00'],
    ['EE', 0.04, '0.04'],
    ['AME', 4, '4'],
    ['AME', 0.4, '0.4'],
    ['DEB', 0, '0'],
  ] as const)('shows a trace of %s as what it is: %f reads %s', (nutrient, value, expected) => {
    expect(formatNutrient(nutrient, value)).toBe(expected)
  })

  test('shows a trace of a mass, a share and a poison as what it is', () => {
    expect(formatKg('0.035')).toBe('0.035\u00a0kg')
    expect(formatKg('0.000')).toBe('0.0\u00a0kg')
    expect(formatPercent(0.004)).toBe('0.004\u00a0%')
    expect(formatPoison('0.3')).toBe('0.3\u00a0ug/kg')
    // what a solver leaves behind is no trace of anything
    expect(formatPercent(1e-9)).toBe('0.0\u00a0%')
  })

  test('writes money with the code of its currency', () => {
    expect(formatPrice('11040.00')).toBe('KES\u00a011,040')
    expect(formatAccount('55.2')).toBe('KES\u00a055.20')
  })

  test('counts whole bags, or offers the two nearest', () => {
    expect(countBags('200.000', 50)).toEqual({ kind: 'whole', bags: 4 })
    expect(countBags('210', 70)).toEqual({ kind: 'whole', bags: 3 })
    expect(countBags('220', 50)).toEqual({ kind: 'between', lowerKg: 200, upperKg: 250 })
  })
})

describe('dates and times', () => {
  test('writes days with their own names in both languages', () => {
    expect(formatDate('2026-08-04', 'en')).toBe('Tue 4 Aug 2026')
    expect(formatDate('2026-08-04', 'sw')).toBe('Jumanne 4 Ago 2026')
    expect(formatShortDate('2026-03-02', 'sw')).toBe('2 Mac')
    expect(formatPickDay('2026-08-07', 'en')).toBe('Fri 7')
  })

  test("reads instants in the mill's time zone", () => {
    expect(formatTime('2026-08-04T11:00:00Z')).toBe('14:00')
    expect(isoDay('2026-08-04T22:30:00Z')).toBe('2026-08-05')
    expect(formatDate('2026-08-04T22:30:00Z', 'en')).toBe('Wed 5 Aug 2026')
  })

  test('counts days over the end of a month', () => {
    expect(daysFrom('2026-08-30', 3)).toEqual(['2026-08-30', '2026-08-31', '2026-09-01'])
  })

  // hours count from sunrise; the first two as in the design, the others common usage, no source
  test.each([
    ['2026-08-04T08:00:00+03:00', 'saa 2 asubuhi'],
    ['2026-08-04T14:00:00+03:00', 'saa 8 mchana'],
    ['2026-08-04T12:00:00+03:00', 'saa 6 mchana'],
    ['2026-08-04T00:00:00+03:00', 'saa 6 usiku'],
    ['2026-08-04T18:30:00+03:00', 'saa 12:30 jioni'],
    ['2026-08-04T05:00:00+03:00', 'saa 11 alfajiri'],
    ['2026-08-04T07:00:00+03:00', 'saa 1 asubuhi'],
  ])('%s is spoken as %s', (instant, spoken) => {
    expect(spokenTime(instant)).toBe(spoken)
  })

  test('adds the spoken hour for members who read Swahili only', () => {
    expect(formatMemberTime('2026-08-04T11:00:00Z', 'sw')).toBe('14:00 (saa 8 mchana)')
    expect(formatMemberTime('2026-08-04T11:00:00Z', 'en')).toBe('14:00')
  })
})

describe('phones', () => {
  test.each(['0700 000 012', '0700-000-012', '254700000012', '+254 700 000 012', '(0700) 000012'])('reads %s', (typed) => {
    expect(readPhone(typed)).toEqual({ kind: 'phone', e164: '+254700000012' })
  })

  test('says how many digits are missing or too many', () => {
    expect(readPhone('0700 000 0')).toEqual({ kind: 'short', missing: 2 })
    expect(readPhone('0700 000 0123')).toEqual({ kind: 'long', excess: 1 })
    expect(readPhone('0110000012')).toEqual({ kind: 'phone', e164: '+254110000012' })
    expect(readPhone('+256 700 000 012')).toEqual({ kind: 'phone', e164: '+256700000012' })
    expect(readPhone('Wanja')).toEqual({ kind: 'wrong' })
    expect(readPhone('0900000012')).toEqual({ kind: 'wrong' })
    expect(readPhone(' ')).toEqual({ kind: 'empty' })
  })

  test('shows a number the way people say it', () => {
    expect(formatPhone('+254700000012')).toBe('0700 000 012')
    expect(formatPhone('+256700000012')).toBe('+256700000012')
  })
})

describe('typed numbers', () => {
  test.each([
    ['82', { kind: 'number', text: '82' }],
    [' 82.50 ', { kind: 'number', text: '82.50' }],
    ['.5', { kind: 'number', text: '0.5' }],
    ['007', { kind: 'number', text: '7' }],
    ['1,250', { kind: 'number', text: '1250' }],
    ['1,250,000.5', { kind: 'number', text: '1250000.5' }],
    ['1,5', { kind: 'ask', choices: ['1.5', '15'] }],
    ['0,250', { kind: 'ask', choices: ['0.250', '250'] }],
    ['1,25,0', { kind: 'not-a-number' }],
    ['1e3', { kind: 'not-a-number' }],
    ['twelve', { kind: 'not-a-number' }],
    ['', { kind: 'empty' }],
    ['-3', { kind: 'number', text: '-3' }],
  ])('%s', (typed, expected) => {
    expect(readTyped(typed)).toEqual(expected)
  })
})
