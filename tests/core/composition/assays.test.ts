import { describe, expect, it } from 'vitest'
import { ANALYTE_IDS, checkAssay } from '#core/composition/analytes'
import { ANALYTES } from '#contract/laboratory'
import { analyticalVariation } from '#core/composition/variation'
import { readTable, textOf } from '#seed/reference-csv'
import { aLot, anAssay, ingredient, known } from './builders.js'

describe('an assay entry', () => {
  const maize = ingredient('maize_yellow').book
  it.each([
    ['CP', 450, '%', 'above-possible'],
    ['CP', 120, '%', 'above-possible'],
    ['moisture', 101, '%', 'above-possible'],
    ['CP', -1, '%', 'negative'],
    ['CP', Number.NaN, '%', 'not-a-number'],
    ['CP', 8, 'ug/kg', 'unit-wrong'],
    ['gluten', 8, '%', 'analyte-unknown'],
  ])('refuses %s of %d %s: %s', (analyte, value, unit, code) => {
    expect(checkAssay({ analyte, value, unit }, maize)).toMatchObject({ kind: 'error', code })
  })

  it('is of an analyte that the contract knows too', () => {
    expect([...ANALYTES].toSorted()).toEqual([...ANALYTE_IDS].toSorted())
  })

  it('asks again when the result is far from the book', () => {
    expect(checkAssay({ analyte: 'CP', value: 81, unit: '%' }, maize)).toMatchObject({ kind: 'implausible', code: 'far-from-book' })
    expect(checkAssay({ analyte: 'CP', value: 8.9, unit: '%' }, maize)).toEqual({ kind: 'ok' })
    expect(checkAssay({ analyte: 'moisture', value: 13.1, unit: '%' }, maize)).toEqual({ kind: 'ok' })
    expect(checkAssay({ analyte: 'aflatoxin_total', value: 0.02, unit: 'mg/kg' }, maize)).toEqual({ kind: 'ok' })
  })

  it('takes more than 100 % of protein only from pure amino acids', () => {
    // ingredients.csv: l_arginine_98 has 197 % protein (nitrogen x 6.25).
    expect(checkAssay({ analyte: 'CP', value: 196, unit: '%' }, ingredient('l_arginine_98').book)).toEqual({ kind: 'ok' })
  })
})

describe('several assays of one lot', () => {
  it('averages results that agree, weighted by 1/sd^2', () => {
    const plain = aLot('maize_yellow', [anAssay('CP', 8.0), anAssay('CP', 8.2)])
    expect(known(plain, 'CP').value).toBeCloseTo(8.1, 12)
    const weighted = aLot('maize_yellow', [anAssay('CP', 8.0, { sd: 0.1 }), anAssay('CP', 8.3, { sd: 0.2 })])
    // Weights 100 and 25: (800 + 207.5) / 125 = 8.06; and 1 / (8.1 x 0.0525)^2 for the book's 8.1.
    const book = 1 / (8.1 * 0.0525) ** 2
    expect(known(weighted, 'CP').value).toBeCloseTo((125 * 8.06 + book * 8.1) / (125 + book), 12)
    expect(known(weighted, 'CP').sd).toBeCloseTo(Math.sqrt(1 / (125 + book)), 12)
    expect(weighted.flags).toEqual([])
  })

  it('flags results further apart than the published variation and uses the worse', () => {
    // NAC 587.620 (read): 0.4 points at 5.1-10 % protein.
    const lot = aLot('maize_yellow', [anAssay('CP', 8.6), anAssay('CP', 8.1)])
    expect(lot.flags).toHaveLength(1)
    expect(lot.flags[0]).toMatchObject({ code: 'assays-disagree', facts: { low: 8.1, high: 8.6, allowed: 0.4, source: 'NAC587.620' } })
    expect(known(lot, 'CP').value).toBe(8.1)
    expect(known(lot, 'CP').from.at(-1)?.code).toBe('worse-of-disagreeing')
  })

  it('takes the higher of two ashes that disagree', () => {
    expect(known(aLot('maize_yellow', [anAssay('ash', 1.2), anAssay('ash', 2.4)]), 'ash').value).toBe(2.4)
  })

  it('always uses the highest mould poison, and one trace outweighs a clean strip', () => {
    const lot = aLot('maize_yellow', [anAssay('aflatoxin_total', 4, { belowDetection: true }), anAssay('aflatoxin_total', 18)])
    expect(lot.contaminants.aflatoxin_total).toMatchObject({ value: 18, knownBy: 'measured' })
  })

  it('has the tolerances that the reference prints', () => {
    const analytes = {
      crude_protein: 'CP',
      ether_extract: 'EE',
      crude_fibre: 'CF',
      ash: 'ash',
      calcium: 'Ca',
      total_phosphorus: 'totP',
    } as const
    const isListed = (text: string): text is keyof typeof analytes => text in analytes
    const rows = readTable('assay_error.csv', ['nutrient', 'level', 'source', 'note']).filter((row) =>
      textOf(row, 'source').startsWith('NAC587.620'),
    )
    const seen = rows.flatMap((row) => {
      const [nutrient, printed] = [textOf(row, 'nutrient'), /printed tolerance ([\d.]+)/.exec(textOf(row, 'note'))?.[1]]
      if (!isListed(nutrient) || printed === undefined) return []
      const level = textOf(row, 'level')
      const inside = level.startsWith('over') ? Number(/[\d.]+/.exec(level)?.[0]) + 1 : Number(/-([\d.]+)/.exec(level)?.[1] ?? 5)
      expect(analyticalVariation(analytes[nutrient], inside)?.points, `${nutrient} ${level}`).toBe(Number(printed))
      return [nutrient]
    })
    expect(seen.length).toBeGreaterThan(15)
  })
})
