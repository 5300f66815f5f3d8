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

  test.each<[string, string, number, RegExp]>([
    ['a row that is not there', FREE.replace('x cost -1 less 1', 'x cost -1 lesser 1'), 12, /'lesser' is no row/],
    ['no number', FREE.replace('r cost -5', 'r cost five'), 22, /'five' is not a number/],
    ['a bound of a strange type', FREE.replace(' MI b v', ' ZZ b v 1'), 30, /'ZZ' is no type of bound/],
    ['a bound of no column', FREE.replace(' MI b v', ' MI b vv'), 30, /'vv' is no column/],
    ['a strange section', FREE.replace('RANGES', 'SPREADS'), 23, /'SPREADS' is no section/],
    ['a row twice', FREE.replace(' E other', ' E same'), 9, /row 'same' stands twice/],
    ['a row of a strange type', FREE.replace(' E other', ' Q other'), 9, /'Q' is no type of row/],
    ['no end', FREE.replace('ENDATA', ''), 31, /ends without ENDATA/],
  ])('with %s is at fault in that line', (_, text, line, message) => {
    const reading = readMps({ mps: text, format: 'free MPS' })
    expect(reading).toMatchObject({ kind: 'fault', line })
    expect(reading.kind === 'fault' && reading.message).toMatch(message)
  })
})
