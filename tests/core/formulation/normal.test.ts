import { describe, expect, test } from 'vitest'
import { gaussHermite } from '#core/formulation/gauss-hermite'
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

describe('the points of Gauss and Hermite', () => {
  test.each([3, 7, 11, 15])('with %i of them give the moments of the unit normal: 1, 0, 1, 0, 3, 15', (n) => {
    const points = gaussHermite(n)
    expect(points).toHaveLength(n)
    const moment = (k: number) => points.reduce((sum, { node, weight }) => sum + weight * node ** k, 0)
    expect([0, 1, 2, 3, 4].map(moment).map((value) => Math.round(value * 1e9) / 1e9 + 0)).toEqual([1, 0, 1, 0, 3])
    if (n > 3) expect(moment(6)).toBeCloseTo(15, 8)
  })

  test('three of them lie at the root of three, weighing one sixth, two thirds, one sixth', () => {
    expect(gaussHermite(3).map(({ node }) => node)[2]).toBeCloseTo(Math.sqrt(3), 12)
    expect(gaussHermite(3).map(({ weight }) => weight)[0]).toBeCloseTo(1 / 6, 12)
  })
})
