import { describe, expect, test } from 'vitest'
import highsModule from 'highs'
import type { LinearModel } from '#core/formulation/linear-model'
import { readMps } from '#core/formulation/mps'
import { readCase, referenceCases } from './reference-cases.js'

const loadHighs = highsModule as unknown as typeof highsModule.default
const highs = await loadHighs()

const model = (mps: string, format?: string): LinearModel => {
  const reading = readMps({ mps, format })
  if (reading.kind === 'fault') throw new Error(`${reading.line}: ${reading.message}`)
  return reading.model
}

/** The same text by the reader of HiGHS, as plain figures. */
function byHighs(data: string) {
  return highs.withModel({ format: 'mps', data }, (read) => {
    const { offset, colCost, colLower, colUpper, rowLower, rowUpper, integrality, matrix } = read.getModel()
    return {
      offset: offset + 0,
      cost: [...colCost],
      lower: [...colLower],
      upper: [...colUpper],
      rows: [...rowLower].map((lower, i) => [lower, rowUpper[i]]),
      whole: [...integrality],
      entries: matrix.values.length,
    }
  })
}
const asHighs = ({ offset = 0, vars, rows }: LinearModel) => ({
  offset: offset + 0,
  cost: vars.map(({ cost }) => cost),
  lower: vars.map(({ lo }) => lo ?? -Infinity),
  upper: vars.map(({ hi }) => hi ?? Infinity),
  rows: rows.map(({ lo, hi }) => [lo ?? -Infinity, hi ?? Infinity]),
  whole: vars.map(({ type }) => (type === 'C' ? 0 : 1)),
  entries: rows.reduce((sum, { coefs }) => sum + Object.values(coefs).filter((value) => value !== 0).length, 0),
})

const FREE = `NAME free
* a remark
ROWS
 N cost
 N spare
 L less
 G more
 E same
 E other
COLUMNS
 M1 'MARKER' 'INTORG'
 x cost -1 less 1
 y cost -1.5 less 1
 z cost -1 less 1
 M2 'MARKER' 'INTEND'
 w cost 1 more 1
 v cost 1 more 1
 u cost 1 same 1
 u spare 3 other 2
RHS
 r less 10 more -3
 r cost -5
RANGES
 g less 4 more 2
 g same -2 other 3
BOUNDS
 LO b y 2
 UP b z 5
 FX b w 4
 MI b v
 UP b v 7
ENDATA
`

describe('an MPS text', () => {
  test('in free form is read as HiGHS reads it: ranges, constants, bounds and whole numbers', () => {
    expect(asHighs(model(FREE))).toEqual(byHighs(FREE))
    // the right-hand side of the objective is its constant with the sign turned
    expect(model(FREE).offset).toBe(5)
    // a range on an equality goes to the side of its sign
    expect(model(FREE).rows.map(({ id, lo, hi }) => [id, lo, hi])).toEqual([
      ['less', 6, 10],
      ['more', -3, -1],
      ['same', -2, 0],
      ['other', 0, 3],
    ])
    expect(model(FREE).vars.map(({ id, type, lo, hi }) => [id, type, lo, hi])).toEqual([
      ['x', 'I', 0, 1],
      ['y', 'I', 2, null],
      ['z', 'I', 0, 5],
      ['w', 'C', 4, 4],
      ['v', 'C', null, 7],
      ['u', 'C', 0, null],
    ])
  })

  test.each(referenceCases.filter((one) => one.kind === 'mps').map((one) => [one.id] as const))('%s is read as HiGHS reads it', (id) => {
    const { problem } = readCase<{ readonly problem: { readonly mps: string; readonly format: string } }>(id)
    expect(asHighs(model(problem.mps, problem.format))).toEqual(byHighs(problem.mps))
  })

  test('in fixed form may have names with blanks and no name of a set', () => {
    const text = [
      'NAME          T',
      'ROWS',
      ' N  COST',
      ' G  MY ROW',
      'COLUMNS',
      '    A COL     COST               2.0   MY ROW             1.0',
      'RHS',
      '              MY ROW             3.0',
      'BOUNDS',
      ' UP           A COL              9.0',
      'ENDATA',
    ].join('\n')
    expect(model(text)).toMatchObject({
      vars: [{ id: 'A COL', cost: 2, lo: 0, hi: 9 }],
      rows: [{ id: 'MY ROW', coefs: { 'A COL': 1 }, lo: 3, hi: null }],
    })
  })

  test('maximises where it says so, takes binary, free and whole bounds, and opens downwards below zero', () => {
    const text = FREE.replace('ROWS', 'OBJSENSE\n    MAX\nROWS')
      .replace('ENDATA', ' BV b u\n LI b x 1\n UI b x 4\nENDATA')
      .replace(' UP b z 5', ' UP b z -5')
    const read = model(text)
    expect(read.sense).toBe('max')
    expect(read.vars.find(({ id }) => id === 'u')).toMatchObject({ type: 'B', lo: 0, hi: 1 })
    expect(read.vars.find(({ id }) => id === 'x')).toMatchObject({ type: 'I', lo: 1, hi: 4 })
    // a negative most with no least of its own (SAS/OR user's guide, the MPS format, BOUNDS)
    expect(read.vars.find(({ id }) => id === 'z')).toMatchObject({ lo: null, hi: -5 })
  })

  const set = (from: string, to: string): string => {
    expect(FREE).toContain(from)
    return FREE.replace(from, to)
  }
  test.each<[string, string, number, number | null, string]>([
    ['a row that is not there', set('x cost -1 less 1', 'x cost -1 lesser 1'), 12, 4, "'lesser' is no row"],
    ['no number', set('r cost -5', 'r cost five'), 22, 3, "'five' is not a number"],
    ['a bound of a strange type', set(' MI b v', ' ZZ b v 1'), 30, 1, "'ZZ' is no type of bound that is read here"],
    ['a bound named like what objects have', set(' MI b v', ' toString b v 1'), 30, 1, "'toString' is no type of bound that is read here"],
    ['a bound of no column', set(' MI b v', ' MI b vv'), 30, 3, "'vv' is no column"],
    ['a strange section', set('RANGES', 'SPREADS'), 23, 1, "'SPREADS' is no section that is read here"],
    ['a row twice', set(' E other', ' E same'), 9, 2, "row 'same' stands twice"],
    ['a row named as the objective', set(' E other', ' E cost'), 9, 2, "row 'cost' stands twice"],
    ['a row of a strange type', set(' E other', ' Q other'), 9, 1, "'Q' is no type of row"],
    ['a row without a name', set(' E other', ' E'), 9, 2, 'a row has no name'],
    ['a row with more than a name', set(' E other', ' E other one'), 9, 3, "'one' is one too many in ROWS"],
    ['no end', set('ENDATA', ''), 31, null, 'the text ends without ENDATA'],
    ['something behind the end', `${FREE} x cost 1\n`, 33, null, 'there is text behind ENDATA'],
    ['a section twice', set('BOUNDS', 'RHS'), 26, 1, 'section RHS stands twice'],
    ['something behind a section', set('RANGES', 'RANGES wide'), 23, 2, "'wide' is one too many"],
    // twice in one line, in two lines, and with other columns in between
    ['an entry twice in a line', set('x cost -1 less 1', 'x less 1 less 1'), 12, 4, "the entry of column 'x' of row 'less' stands twice"],
    ['an entry twice', set('u spare 3 other 2', 'u same 3 other 2'), 19, 2, "the entry of column 'u' of row 'same' stands twice"],
    ['a cost twice', set('u spare 3 other 2', 'u cost 3 other 2'), 19, 2, "the entry of column 'u' of row 'cost' stands twice"],
    [
      'an entry of an unused row twice',
      set('u spare 3 other 2', 'u spare 3 spare 2'),
      19,
      4,
      "the entry of column 'u' of row 'spare' stands twice",
    ],
    ['a column twice', set('u spare 3 other 2', 'x same 3 other 2'), 19, 1, "column 'x' stands twice: its lines must follow one another"],
    ['a right-hand side twice', set('r cost -5', 'r less -5'), 22, 2, "the right-hand side of row 'less' stands twice"],
    ['the constant twice', set('r cost -5', 'r cost -5 cost 4'), 22, 4, "the right-hand side of row 'cost' stands twice"],
    ['a second set', set('r cost -5', 's cost -5'), 22, 1, "'s' is a second set in RHS, after 'r'; one is read"],
    ['a range twice', set('g same -2', 'g less -2'), 25, 2, "the range of row 'less' stands twice"],
    ['a range of the objective', set('g same -2', 'g cost -2'), 25, 2, "row 'cost' is of type N and has no range"],
    ['a bound twice', set(' MI b v', ' UP b z 6'), 30, 3, "the most of column 'z' stands twice"],
    ['a bound beside a fixed value', set(' MI b v', ' LO b w 1'), 30, 3, "the least of column 'w' stands twice"],
    // where a name of the set is left out, the names say what is missing
    ['a pair without its number', set('r less 10 more -3', 'r less 10 more'), 21, 5, 'a number is missing'],
    ['the same without the set', set('r less 10 more -3', 'less 10 more'), 21, 4, 'a number is missing'],
    ['a bound without its number', set(' UP b z 5', ' UP b z'), 28, 4, 'a number is missing'],
    ['a misspelt row without the set', set('r less 10 more -3', 'less 10 mor -3'), 21, 3, "'mor' is no row"],
    ['a misspelt column without the set', set(' UP b z 5', ' UP zz 5'), 28, 2, "'zz' is no column"],
    ['a fifth word in a bound', set(' UP b z 5', ' UP b z 5 6'), 28, 5, "'6' is one too many in BOUNDS"],
    ['a third pair', set('x cost -1 less 1', 'x cost -1 less 1 more 1'), 12, 6, "'more' is one too many in COLUMNS"],
    ['a column without entries', set('x cost -1 less 1', 'x'), 12, 2, 'the name of a row is missing'],
    ['a marker of a strange kind', set("'INTEND'", "'INTSTOP'"), 15, 3, "''INTSTOP'' is neither 'INTORG' nor 'INTEND'"],
    ['a marker twice', set("'INTEND'", "'INTORG'"), 15, 3, "'INTORG' stands twice without 'INTEND'"],
    ['a marker that is not closed', set(" M2 'MARKER' 'INTEND'\n", ''), 31, null, "'INTORG' stands without 'INTEND'"],
    ['two senses', set('ROWS', 'OBJSENSE MAX\nOBJSENSE MIN\nROWS'), 4, 1, 'section OBJSENSE stands twice'],
    ['a strange sense', set('ROWS', 'OBJSENSE\n LEAST\nROWS'), 4, 1, "'LEAST' is neither MIN nor MAX"],
  ])('with %s is at fault in that line and field', (_, text, line, field, message) => {
    const at = field === null ? null : `field ${field}`
    expect(readMps({ mps: text, format: 'free MPS' })).toEqual({ kind: 'fault', line, field: at, message })
    // and where nobody says which layout it is
    expect(readMps({ mps: text })).toEqual({ kind: 'fault', line, field: at, message })
  })

  const RULE = 'must be zero, or from 1e-15 to 1e15 in size'
  test.each([
    ['0x10', 'is not a number'],
    ['1e', 'is not a number'],
    ['1_000', 'is not a number'],
    ['1,5', 'is not a number'],
    ['--1', 'is not a number'],
    ['.', 'is not a number'],
    ['NaN', 'is not a number'],
    ['Infinity', 'is not a number'],
    ['1e300', RULE],
    ['1e999', RULE],
    ['-1e-300', RULE],
    ['1e-999', RULE],
  ])('does not take %s for a figure, wherever it stands', (figure, why) => {
    const reading = (from: string, to: string) => readMps({ mps: set(from, to) })
    const fault = (line: number, field: number, more = '') => ({
      kind: 'fault',
      line,
      field: `field ${field}`,
      message: `'${figure}' ${why}${more}`,
    })
    expect(reading('x cost -1 less 1', `x cost -1 less ${figure}`)).toEqual(fault(12, 5))
    expect(reading('r cost -5', `r cost ${figure}`)).toEqual(fault(22, 3))
    expect(reading('g less 4', `g less ${figure}`)).toEqual(fault(24, 3))
    expect(reading(' UP b z 5', ` UP b z ${figure}`)).toEqual(fault(28, 4, '; no bound is written MI, PL or FR'))
  })

  test.each(['1', '+1.', '1.0e0', '.1E+1', '10d-1', '1D0'])('takes %s for one', (figure) => {
    expect(model(set('w cost 1 more 1', `w cost ${figure} more 1`))).toEqual(model(FREE))
  })

  const FIXED = [
    'NAME          T',
    'ROWS',
    ' N  COST',
    ' G  MY ROW',
    'COLUMNS',
    '    A COL     COST               2.0   MY ROW             1.0',
    'RHS',
    '    RHS       MY ROW             3.0',
    'ENDATA',
  ]
  const withLine = (at: number, line: string): string => FIXED.map((one, i) => (i + 1 === at ? line : one)).join('\n')
  const STRAY = 'column 24 lies between the fields of fixed MPS, which stand in columns 2-3, 5-12, 15-22, 25-36, 40-47, 50-61'
  test.each<[string, number, string, string | null, string]>([
    ['a figure out of its columns', 8, '    RHS       MY ROW   300.0', null, STRAY],
    ['a tab', 8, '    RHS\t\tMY ROW\t3.0', null, 'a tab stands in the line; fixed MPS is laid out in columns by blanks'],
    ['no number', 8, '    RHS       MY ROW             3,0', 'field 4 (columns 25-36)', "'3,0' is not a number"],
    [
      'a figure without a row',
      6,
      '    A COL     COST               2.0                      1.0',
      'field 6 (columns 50-61)',
      "'1.0' is one too many",
    ],
    ['a misspelt row', 6, '    A COL     COST               2.0   MY ROV             1.0', 'field 5 (columns 40-47)', "'MY ROV' is no row"],
  ])('in fixed form with %s is at fault in that line and field', (_, line, text, at, message) => {
    const whole = withLine(line, text)
    const expected = { kind: 'fault', line, field: at, message }
    expect(readMps({ mps: whole, format: 'fixed MPS' })).toEqual(expected)
    expect(readMps({ mps: whole })).toEqual(expected)
  })

  test('is refused where the file asks for the other sense', () => {
    expect(readMps({ mps: set('ROWS', 'OBJSENSE\n    MAX\nROWS'), sense: 'min' })).toEqual({
      kind: 'fault',
      line: 4,
      field: 'field 1',
      message: "'MAX' where it was MIN before",
    })
    expect(readMps({ mps: set('ROWS', 'OBJSENSE\n    MAX\nROWS'), sense: 'max' })).toMatchObject({ kind: 'model', model: { sense: 'max' } })
  })
})
