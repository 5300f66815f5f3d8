import { describe, expect, test } from 'vitest'
import { equalChances } from '#core/formulation/equal-chances'
import { probabilityOf, unitNormalLoss, upperTail, zOf } from '#core/formulation/normal'

describe('the unit normal', () => {
  // Abramowitz and Stegun, Handbook of Mathematical Functions, table 26.1 (from memory)
  test.each([
    [0, 0.5],
    [0.5, 0.691462461274013],
    [1, 0.841344746068543],
    [1.5, 0.933192798731142],
    [2, 0.977249868051821],
    [3, 0.99865010196837],
  ])('is below %f with probability %f', (z, p) => {
    expect(probabilityOf(z)).toBeCloseTo(p, 12)
    expect(probabilityOf(-z)).toBeCloseTo(1 - p, 12)
  })

  test('keeps its digits far in the tail', () => {
    // tail areas beyond 4, 5 and 6 standard deviations, tables of the normal (from memory)
    expect(upperTail(4) / 3.167124183311998e-5 - 1).toBeCloseTo(0, 9)
    expect(upperTail(5) / 2.866515718791939e-7 - 1).toBeCloseTo(0, 9)
    expect(upperTail(6) / 9.865876450376946e-10 - 1).toBeCloseTo(0, 9)
  })

  // percentage points, Abramowitz and Stegun table 26.5 (from memory)
  test.each([
    [0.75, 0.674489750196082],
    [0.8, 0.841621233572914],
    [0.9, 1.281551565544601],
    [0.95, 1.644853626951473],
    [0.975, 1.959963984540054],
    [0.99, 2.326347874040841],
    [0.999, 3.090232306167813],
  ])('stays below with probability %f at %f', (p, z) => {
    expect(zOf(p)).toBeCloseTo(z, 9)
    expect(zOf(1 - p)).toBeCloseTo(-z, 9)
  })

  test('z and p undo each other, and ends are ends', () => {
    for (let z = -7; z <= 7; z += 0.37) expect(zOf(probabilityOf(z))).toBeCloseTo(z, z > 5 ? 4 : 9)
    expect([zOf(0), zOf(0.5), zOf(1)]).toEqual([-Infinity, 0, Infinity])
    expect(zOf(1.2)).toBeNaN()
  })

  test('its loss is that of Raiffa and Schlaifer: L(0) = 0.3989, L(1) = 0.0833 (from memory)', () => {
    expect(unitNormalLoss(0)).toBeCloseTo(0.3989, 4)
    expect(unitNormalLoss(1)).toBeCloseTo(0.0833, 4)
    // the mean of what is above u less what is below -u: L(-u) = u + L(u)
    expect(unitNormalLoss(-1)).toBeCloseTo(1 + unitNormalLoss(1), 12)
  })
})

describe('equal chances', () => {
  test.each([2, 5, 12])('of %i parts have mean nothing, and nearly the variance of the unit normal', (parts) => {
    const points = equalChances(parts)
    const moment = (k: number) => points.reduce((sum, { node, weight }) => sum + weight * node ** k, 0)
    expect(moment(0)).toBeCloseTo(1, 12)
    expect(moment(1)).toBeCloseTo(0, 12)
    expect(moment(2)).toBeLessThan(1)
    expect(moment(2)).toBeGreaterThan(parts === 2 ? 0.63 : parts === 5 ? 0.89 : 0.96)
  })

  test('two of them lie at the mean of a half-normal, the root of two over pi', () => {
    expect(equalChances(2).map(({ node }) => node)[1]).toBeCloseTo(Math.sqrt(2 / Math.PI), 12)
  })

  test.each([0, 0.25, 0.5, 0.75, 1])('twelve give the unit normal loss at %f to half a per cent or a thousandth', (u) => {
    const loss = equalChances(12).reduce((sum, { node, weight }) => sum + weight * Math.max(0, node - u), 0)
    expect(Math.abs(loss - unitNormalLoss(u))).toBeLessThan(Math.max(0.005 * unitNormalLoss(u), 0.001))
  })
})
