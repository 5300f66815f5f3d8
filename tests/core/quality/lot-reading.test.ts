import { describe, expect, it } from 'vitest'
import { moistureOfLot, proteinOfLot } from '#core/quality/lot-reading'
import { anAssay } from '../composition/builders.js'

const MAIZE = { bookDryMatterPct: 88, ureaIsFraud: false }
const CAKE = { bookDryMatterPct: 90, ureaIsFraud: true }
const lot = (assays: ReturnType<typeof anAssay>[], intakeMoisturePct: number | null = null) => ({ assays, intakeMoisturePct })

describe('protein of a lot', () => {
  it('counts at the dry matter of the book, whatever water the lot brought', () => {
    // 8.4 % in 86 % dry matter is 8.4 x 88 / 86 in 88 %.
    const reading = proteinOfLot(lot([anAssay('CP', 8.4), anAssay('moisture', 14)]), MAIZE)
    expect(reading).toEqual({ value: expect.closeTo(8.59535, 5), measured: 8.4, leftOut: null })
  })

  it('takes the water of the meter where the laboratory measured none', () => {
    expect(proteinOfLot(lot([anAssay('CP', 8.4)], 14), MAIZE).value).toBeCloseTo(8.59535, 5)
    expect(proteinOfLot(lot([anAssay('CP', 8.4)]), MAIZE).value).toBe(8.4)
  })

  it('is left out, never nothing, where it was not measured or lies below detection', () => {
    expect(proteinOfLot(lot([anAssay('moisture', 13)]), MAIZE)).toEqual({ value: null, measured: null, leftOut: 'no-result' })
    const below = anAssay('CP', 0.5, { belowDetection: true })
    expect(proteinOfLot(lot([below]), MAIZE)).toEqual({ value: null, measured: 0.5, leftOut: 'below-detection' })
  })

  it('is left out where its nitrogen may be urea', () => {
    const protein = anAssay('CP', 46)
    expect(proteinOfLot(lot([protein]), CAKE)).toEqual({ value: null, measured: 46, leftOut: 'urea' })
    expect(proteinOfLot(lot([protein, anAssay('urea', 1)]), CAKE).leftOut).toBe('urea')
    expect(proteinOfLot(lot([protein, anAssay('urea', 0)]), CAKE)).toMatchObject({ value: 46, leftOut: null })
  })
})

describe('moisture of a lot', () => {
  it('is that of the laboratory, never of the meter at the gate', () => {
    expect(moistureOfLot(lot([anAssay('moisture', 13.1)], 12))).toEqual({ value: 13.1, measured: 13.1, leftOut: null })
    expect(moistureOfLot(lot([], 12))).toEqual({ value: null, measured: null, leftOut: 'no-result' })
  })

  it('is left out below detection', () => {
    const reading = moistureOfLot(lot([anAssay('moisture', 0.1, { belowDetection: true })]))
    expect(reading).toEqual({ value: null, measured: 0.1, leftOut: 'below-detection' })
  })
})
