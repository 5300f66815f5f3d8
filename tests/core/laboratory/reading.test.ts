import { describe, expect, test } from 'vitest'
import { ANALYTE_IDS } from '#core/composition/analytes'
import { analyteOf } from '#core/laboratory/analyte-words'
import { columnOf, findSeparator, readHeading } from '#core/laboratory/columns'
import { dayOrderOf, readDay } from '#core/laboratory/days'
import { conversionOf, decimalSignOf, readFigure, unitsFor } from '#core/laboratory/figures'

const figure = (text: string, below = false) => ({ kind: 'figure', text, below })
const wrong = (code: string) => ({ kind: 'wrong', code })

describe('the first line', () => {
  test.each([
    ['English', ['Lot number', 'Analyte', 'VALUE', 'unit', 'Method', 'Laboratory', 'Date_measured', 'Note']],
    ['Swahili', ['Namba ya mzigo', 'Kipimo', 'Tokeo', 'Kizio', 'Njia', 'Maabara', 'Tarehe ya kupima', 'Maelezo']],
  ])('names the columns in %s, in any order', (_language, headers) => {
    for (const cells of [headers, headers.toReversed()]) {
      const heading = readHeading(cells)
      expect(heading).toMatchObject({ missing: [], twice: [], ignored: [] })
      expect([...heading.at.keys()].sort()).toEqual(['analyte', 'laboratory', 'lot', 'measuredOn', 'method', 'note', 'unit', 'value'])
    }
  })

  test('tells what is missing, what stands twice and what means nothing', () => {
    expect(readHeading(['lot', 'value', 'Result', 'colour', ''])).toMatchObject({
      missing: ['analyte', 'unit', 'method', 'laboratory', 'measuredOn'],
      twice: ['value'],
      ignored: ['colour'],
    })
  })

  test.each([',', ';', '\t'] as const)('shows that %j parts the cells', (separator) => {
    const line = ['lot', 'analyte', 'value, first', 'unit'].join(separator)
    expect(findSeparator((tried) => line.split(tried))).toBe(separator)
    expect(columnOf('colour')).toBeUndefined()
  })
})

describe('a figure', () => {
  test.each([
    ['8.4', 'none', figure('8.4')],
    ['8,4', 'none', figure('8.4')],
    ['0,250', 'none', figure('0.250')],
    [',5', 'none', figure('.5')],
    ['1,250.5', 'none', figure('1250.5')],
    ['1.250,5', 'none', figure('1250.5')],
    ['1,250,000', 'none', figure('1250000')],
    ['1 250,5', 'none', figure('1250.5')],
    ['12\u00a0500', 'none', figure('12500')],
    ['1,250', 'point', figure('1250')],
    ['1,250', 'comma', figure('1.250')],
    ['1.250', 'comma', figure('1250')],
    ['1.250', 'none', figure('1.250')],
    ['< 2', 'none', figure('2', true)],
    ['<0,05', 'none', figure('0.05', true)],
    ['1,250', 'none', wrong('which-number')],
    ['1,250', 'both', wrong('which-number')],
    ['1.250', 'both', wrong('which-number')],
    ['-1', 'none', wrong('leading-sign')],
    ['=2+3', 'none', wrong('leading-sign')],
    ['+8', 'none', wrong('leading-sign')],
    ['@8', 'none', wrong('leading-sign')],
    ['< LOD', 'none', wrong('no-limit')],
    ['n.d.', 'none', wrong('no-limit')],
    ['> 100', 'none', wrong('not-a-number')],
    ['1e3', 'none', wrong('not-a-number')],
    ['8.4 %', 'none', wrong('not-a-number')],
    ['1 25', 'none', wrong('not-a-number')],
    ['', 'none', wrong('not-a-number')],
    ['1234567890123456', 'none', wrong('not-a-number')],
  ] as const)('%j where decimals have the sign "%s"', (cell, sign, expected) => {
    expect(readFigure(cell, sign)).toEqual(expected)
  })

  test('shows the decimal sign of its file only where it can be read in one way', () => {
    expect(decimalSignOf(['12', '1,250', '1.250'])).toBe('none')
    expect(decimalSignOf(['1,250', '8,4'])).toBe('comma')
    expect(decimalSignOf(['1,250', '< 8.4'])).toBe('point')
    expect(decimalSignOf(['8,4', '8.4'])).toBe('both')
  })
})

describe('a unit', () => {
  // 1 % = 10 g/kg = 10,000 mg/kg; 1 mg/kg = 1,000 ug/kg; ppm and ppb of mass are mg/kg and ug/kg (definitions of the SI prefixes)
  test.each([
    ['CP', '84.1', 'g/kg', 8.41, '%'],
    ['Na', '1234', 'mg/kg', 0.1234, '%'],
    ['Na', '1234', 'PPM', 0.1234, '%'],
    ['CP', '8.41', ' % ', 8.41, '%'],
    ['aflatoxin_B1', '0.0041', 'mg/kg', 4.1, 'ug/kg'],
    ['aflatoxin_total', '4.1', 'ppb', 4.1, 'ug/kg'],
    ['aflatoxin_total', '4.1', '\u00b5g/kg', 4.1, 'ug/kg'],
    ['aflatoxin_total', '0.0041', 'ppm', 4.1, 'ug/kg'],
  ] as const)('of %s: %s %s is exactly %d %s', (analyte, text, unit, value, kept) => {
    const conversion = conversionOf(analyte, unit)
    expect(conversion?.unit).toBe(kept)
    expect(conversion?.convert(text)).toBe(value)
  })

  test('that is no exact part of the mass, or not of this kind, is refused', () => {
    for (const unit of ['% DM', 'g/l', 'kcal/kg', '', 'constructor']) expect(conversionOf('CP', unit), unit).toBeUndefined()
    expect(conversionOf('aflatoxin_B1', '%')).toBeUndefined()
    expect(conversionOf('CP', 'ug/kg')).toBeUndefined()
    expect(unitsFor('aflatoxin_B1')).toEqual(['ug/kg', 'ppb', 'mg/kg', 'ppm'])
  })
})

describe('a day', () => {
  const day = (iso: string) => ({ kind: 'day', day: iso })
  test.each([
    ['2026-08-04', 'none', day('2026-08-04')],
    ['24/8/2026', 'none', day('2026-08-24')],
    ['04.08.2026', 'day-first', day('2026-08-04')],
    ['8-8-2026', 'none', day('2026-08-08')],
    ['04/08/2026', 'none', wrong('which-day')],
    ['04/08/2026', 'both', wrong('which-day')],
    ['08/24/2026', 'month-first', wrong('not-a-day')],
    ['30/02/2026', 'day-first', wrong('not-a-day')],
    ['2026-02-30', 'none', wrong('not-a-day')],
    ['04/08-2026', 'day-first', wrong('not-a-day')],
    ['4 Aug 2026', 'none', wrong('not-a-day')],
    ['', 'none', wrong('not-a-day')],
  ] as const)('%j in a file written "%s"', (cell, order, expected) => {
    expect(readDay(cell, order)).toEqual(expected)
  })

  test('shows the order of its file only where it can be read in one way', () => {
    expect(dayOrderOf(['04/08/2026', '2026-08-24'])).toBe('none')
    expect(dayOrderOf(['04/08/2026', '24/08/2026'])).toBe('day-first')
    expect(dayOrderOf(['08/24/2026'])).toBe('month-first')
    expect(dayOrderOf(['08/24/2026', '24/08/2026'])).toBe('both')
  })
})

test('every analyte is known by its short name, however it is written', () => {
  for (const id of ANALYTE_IDS) expect(analyteOf(` ${id.toUpperCase()} `)).toBe(id)
  expect(analyteOf('Crude protein')).toBe('CP')
  expect(analyteOf('gold')).toBeUndefined()
})
