import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { individualsChart, LEAST_LOTS, D2_OF_TWO } from '#core/quality/control-chart'

const chart = (values: readonly number[]) => {
  const made = individualsChart(values)
  if (!made) throw new Error('values make a chart')
  return made
}

// NIST/SEMATECH e-Handbook of Statistical Methods, 6.3.2.2 "Individuals Control Charts": flow rate of ten batches, with the mean,
// the limits and "no points outside" as it prints them.
const FLOW = [49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4, 53.6, 52.1]

describe('a chart of single values', () => {
  it('is that of the e-Handbook for the flow of its ten batches', () => {
    const { mean, range, outside } = chart(FLOW)
    expect(mean).toBeCloseTo(50.81, 10)
    expect(range?.low).toBeCloseTo(45.8159, 4)
    expect(range?.high).toBeCloseTo(55.8041, 4)
    expect(outside).toEqual([])
  })

  it('has the constant of the tables: the mean distance of two normal values, 2 / root pi', () => {
    expect(D2_OF_TWO).toBeCloseTo(2 / Math.sqrt(Math.PI), 3)
    expect(3 / D2_OF_TWO).toBeCloseTo(2.66, 2)
  })

  it('marks a lot outside, on either side, by its place', () => {
    // By hand: seven distances of 0.2 and two of 2.9 have the mean 0.8, so 2.66 x 0.8 = 2.128 on each side of 13.41.
    const wet = [13, 13.2, 13, 13.2, 16.1, 13.2, 13, 13.2, 13, 13.2]
    const { range, outside } = chart(wet)
    expect(range?.high).toBeCloseTo(13.41 + 2.128, 2)
    expect(outside).toEqual([4])
    expect(chart(wet.map((value) => 26 - value)).outside).toEqual([4])
  })

  it('shows a drift that the plain deviation would hide', () => {
    // Protein that falls by half a point a lot: 2.66 x 0.5 = 1.33 around 40; the plain deviation (2.58) would reach 7.7 points.
    const falling = Array.from({ length: 17 }, (_, lot) => 44 - 0.5 * lot)
    const { range, sd, outside } = chart(falling)
    expect(range).toEqual({ low: expect.closeTo(38.67, 2), high: expect.closeTo(41.33, 2) })
    expect(3 * (sd ?? 0)).toBeGreaterThan(7)
    expect(outside).toEqual([0, 1, 2, 3, 4, 5, 11, 12, 13, 14, 15, 16])
  })

  it('has the deviation by n - 1', () => {
    // 2, 4, 4, 4, 5, 5, 7, 9: mean 5, squares 9+1+1+1+0+0+4+16 = 32, over 7.
    expect(chart([2, 4, 4, 4, 5, 5, 7, 9]).sd).toBeCloseTo(Math.sqrt(32 / 7), 12)
  })

  it('draws no range under eight lots, and says nothing of one lot’s deviation', () => {
    expect(chart(FLOW.slice(0, LEAST_LOTS - 1))).toMatchObject({ range: null, outside: [] })
    expect(chart(FLOW.slice(0, LEAST_LOTS)).range).not.toBeNull()
    expect(chart([13])).toEqual({ mean: 13, sd: null, range: null, outside: [] })
    expect(individualsChart([])).toBeUndefined()
  })

  it('leaves nobody outside where all lots are equal, and never draws a content below nothing', () => {
    fc.assert(
      fc.property(fc.double({ min: 0, max: 100, noNaN: true }), fc.integer({ min: 8, max: 60 }), (value, lots) => {
        expect(chart(Array.from({ length: lots }, () => value)).outside).toEqual([])
      }),
    )
    fc.assert(
      fc.property(fc.array(fc.double({ min: 0, max: 100, noNaN: true }), { minLength: 8, maxLength: 40 }), (values) => {
        const { range, mean } = chart(values)
        expect(range?.low).toBeGreaterThanOrEqual(0)
        expect(range?.low).toBeLessThanOrEqual(mean)
      }),
    )
  })
})
