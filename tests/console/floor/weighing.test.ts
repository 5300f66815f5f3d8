import { describe, expect, test } from 'vitest'
import { grams, parseKg } from '#core/quantity/mass'
import {
  bagsOf,
  differsTooMuch,
  judgeWeight,
  nextStep,
  readWeight,
  scaleWeight,
  stepsOf,
  weighedIn,
} from '../../../admin/resources/batches/batchModel'
import { line } from './lines.js'

const shown = (text: string): string => text.replaceAll('\u00a0', ' ')

describe('figures of a scale', () => {
  test('stand in the unit and decimals of its display', () => {
    expect(shown(scaleWeight(parseKg('82.000'), 'floor'))).toBe('82.0 kg')
    expect(shown(scaleWeight(parseKg('6.161'), 'floor'))).toBe('6.161 kg')
    expect(shown(scaleWeight(parseKg('1.250'), 'table'))).toBe('1,250 g')
  })

  test.each([
    ['84.6', 'floor', 84_600],
    ['1,250', 'table', 1250],
    ['0', 'floor', 0],
    ['82.125', 'floor', 82_125],
  ] as const)('%s on the %s scale is read exactly', (typed, scale, mass) => {
    expect(readWeight(typed, scale)).toEqual({ kind: 'weight', mass })
  })

  test.each([
    ['', 'floor', 'load.fault.empty'],
    ['1,5', 'floor', 'load.fault.ask'],
    ['-3', 'floor', 'load.fault.negative'],
    ['82.1255', 'floor', 'load.fault.decimals'],
    ['4.51', 'table', 'load.fault.wholeGrams'],
    ['heavy', 'floor', 'field.notANumber'],
    ['99999999', 'floor', 'field.checkUnit'],
  ] as const)('"%s" on the %s scale is asked about, never guessed', (typed, scale, words) => {
    expect(readWeight(typed, scale)).toEqual({ kind: 'fault', words })
  })
})

describe('a weight and its range', () => {
  test('is inside up to both ends', () => {
    for (const kg of ['81.600', '82.000', '82.400']) expect(judgeWeight(line(), parseKg(kg))).toEqual({ kind: 'inside' })
  })

  test('says how much to take out or to add to reach the target', () => {
    expect(judgeWeight(line(), parseKg('84.600'))).toEqual({ kind: 'over', difference: 2600, otherUnit: false })
    expect(judgeWeight(line(), parseKg('80.000'))).toEqual({ kind: 'under', difference: 2000, otherUnit: false })
  })

  test('asks for the unit when grams were typed as kilograms, or the reverse', () => {
    expect(judgeWeight(line(), parseKg('82000.000'))).toMatchObject({ kind: 'over', otherUnit: true })
    expect(judgeWeight(line(), grams(82))).toMatchObject({ kind: 'under', otherUnit: true })
  })
})

describe('the steps of a load', () => {
  const jar = line({ position: 3, lotId: null, lotNumber: null, actualKg: '2.000' })
  const salt = line({ part: 'pre-blend', position: 1, scale: 'table', targetKg: '2.000', actualKg: '2.000' })
  const rows = { lines: [jar, line({ position: 1 }), line(), salt] }

  test('begin with the pre-blend, then go down the sheet', () => {
    expect(stepsOf(rows).map(({ part, position }) => `${part} ${position}`)).toEqual(['pre-blend 1', 'load 1', 'load 2', 'load 3'])
    expect(nextStep(rows)).toMatchObject({ part: 'load', position: 1 })
  })

  test('count what went in once: the jar holds what the pre-blend weighed', () => {
    expect(weighedIn(rows.lines)).toBe(2000)
  })
})

describe('bags', () => {
  test('are read back whole and with what is left', () => {
    expect(bagsOf('200.000', '50.000')).toEqual({ bags: 4, part: null })
    const { bags, part } = bagsOf('249.300', '50.000')
    expect([bags, shown(part ?? '')]).toEqual([4, '49.3 kg'])
  })

  test('that differ from what went in by more than 2 % are asked about (the share over which the mill tells the manager)', () => {
    expect(differsTooMuch(parseKg('98.000'), parseKg('100.000'))).toBe(false)
    expect(differsTooMuch(parseKg('97.900'), parseKg('100.000'))).toBe(true)
    expect(differsTooMuch(parseKg('103.000'), parseKg('100.000'))).toBe(true)
  })
})
