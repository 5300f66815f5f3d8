import { describe, expect, it } from 'vitest'
import { composeLot } from '#core/composition/compose-lot'
import { figuresOf, QUICK_TESTS } from '#core/laboratory/quick-tests'
import { lotOfSample, sampleLabel } from '#core/laboratory/sample-label'
import { checkLot } from '#core/safety/check-lot'
import { testDuties } from '#core/safety/required-tests'
import { anAssay } from '../composition/builders.js'
import { context, factsOf, finding } from '../safety/builders.js'

describe('a quick test', () => {
  it('never makes a zero of what it did not see', () => {
    for (const test of Object.values(QUICK_TESTS)) {
      const answer = { reading: test.answers === 'figure' ? ('figure' as const) : ('none-found' as const), value: 0, detectionLimit: null }
      expect(figuresOf(test, answer)).toEqual({ value: test.detectionLimit, belowDetection: true, sd: null })
    }
  })

  it.each([
    // half a point of moisture and a third of the sand, as the table of the tests says; a tenth of the chloride
    ['moisture-meter', 12, 0.5],
    ['sand-jar', 10, 3],
    ['sand-jar', 2, 1],
    ['salt-strip', 2, 0.2],
  ] as const)('%s reads %d with a deviation of %d', (id, value, sd) => {
    expect(figuresOf(QUICK_TESTS[id], { reading: 'figure', value, detectionLimit: null })).toEqual({ value, belowDetection: false, sd })
  })

  it('goes by the limit of the kit where one is named', () => {
    const strip = QUICK_TESTS['aflatoxin-strip']
    expect(figuresOf(strip, { reading: 'none-found', value: 0, detectionLimit: 4 })).toMatchObject({ value: 4, belowDetection: true })
    expect(figuresOf(strip, { reading: 'found', value: 0, detectionLimit: 4 })).toMatchObject({ value: 4, belowDetection: false })
  })
})

describe('a strip that shows aflatoxin', () => {
  const strip = (value: number) => ({ ...anAssay('aflatoxin_total', value), reading: 'found' as const })
  const verdict = (value: number) => finding(checkLot(factsOf('maize_yellow', [strip(value)]), context()), 'AF-REC-04')

  it('breaks the limit of 20 ug/kg (AF-REC-04) when it sees from 20 on, and leaves it unknown when it sees from 4 on', () => {
    expect(verdict(20)).toMatchObject({ severity: 'block', what: { code: 'seen-by-strip' } })
    expect(verdict(4)).toMatchObject({ severity: 'warn', what: { code: 'not-known' } })
  })

  it('gives no upper bound of the lot: it may hold any amount', () => {
    const lot = composeLot({ ingredientKey: 'maize_yellow', category: 'cereal', book: [], assays: [strip(20)] })
    expect(lot.contaminants.aflatoxin_total).toMatchObject({ value: 20, atLeast: true })
    expect(lot.contaminants.aflatoxin_total?.upperBound).toBeUndefined()
  })
})

describe('tests that contradict each other', () => {
  const flags = (...assays: ReturnType<typeof anAssay>[]) =>
    composeLot({ ingredientKey: 'maize_yellow', category: 'cereal', book: [], assays }).flags.map(({ code }) => code)
  const under = (value: number) => ({ ...anAssay('aflatoxin_total', value), belowDetection: true })

  it('flags "under 10" beside 26, not "under 20" beside 12', () => {
    expect(flags(under(10), anAssay('aflatoxin_total', 26))).toContain('assays-disagree')
    expect(flags(under(20), anAssay('aflatoxin_total', 12))).toEqual([])
  })
})

describe('the required tests', () => {
  const duty = (key: string, category: string, hazard: string) =>
    testDuties({ ingredientKey: key, category }, context(), []).find((row) => row.hazard === hazard)

  it.each([
    // ingredients.csv: groundnut cake "aflatoxin (test every lot)"; AF-REC-04: maize "strip test at every intake"; NPN-01; FISH-06; NA-05
    ['groundnut_cake_expeller', 'oilseed_meal', 'aflatoxin', 'required', null],
    ['maize_white', 'cereal', 'aflatoxin', 'asked', 'AF-REC-04'],
    ['maize_white', 'cereal', 'protein', 'required', null],
    ['soybean_meal_44', 'oilseed_meal', 'urea', 'asked', 'NPN-01'],
    ['omena_dagaa_meal', 'animal_protein', 'sand', 'asked', 'FISH-06'],
    ['omena_dagaa_meal', 'animal_protein', 'salt', 'asked', 'NA-05'],
    ['limestone', 'mineral', 'protein', 'none', null],
    ['limestone', 'mineral', 'aflatoxin', 'none', null],
  ])('%s (%s): %s is %s by %s', (key, category, hazard, word, ruleId) => {
    expect(duty(key, category, hazard)).toMatchObject({ duty: word, ruleId })
  })

  it('takes an addition of the mill as required, with its reason', () => {
    const own = [{ hazard: 'sand' as const, reason: 'two sandy lorries in June' }]
    const row = testDuties({ ingredientKey: 'maize_white', category: 'cereal' }, context(), own).find(({ hazard }) => hazard === 'sand')
    expect(row).toMatchObject({ duty: 'required', by: 'mill-addition', reason: 'two sandy lorries in June' })
  })
})

it('reads the label of a sample as it is scanned or typed', () => {
  expect(sampleLabel(47)).toBe('S-47')
  expect(['S-47', 's 47', ' 47 ', 'S47'].map(lotOfSample)).toEqual([47, 47, 47, 47])
  expect(['', 'S-', 'lot', '-4', '4.7'].map(lotOfSample)).toEqual([undefined, undefined, undefined, undefined, undefined])
})
