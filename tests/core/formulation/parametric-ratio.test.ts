import fc from 'fast-check'
import { expect, test } from 'vitest'
import { limitCurve } from '#core/formulation/parametric'
import { feasibleEnds } from '#core/formulation/parametric-ends'
import { placeOf, withLimit } from '#core/formulation/parametric-limit'
import type { FormulaProblem } from '#core/formulation/problem'
import { limitsOf, programOf } from '#core/formulation/program'
import { createGlpkSolver } from '#platform/solver/glpk'
import { createHighsSolver } from '#platform/solver/highs'
import { aProblem } from './random-blends.js'

const glpk = await createGlpkSolver()
const highs = await createHighsSolver()

/** The independent answer: HiGHS on the whole problem, solved anew. */
function costBy(problem: FormulaProblem): number {
  const outcome = highs.solve(programOf(limitsOf(problem)))
  return outcome.kind === 'optimal' ? outcome.objective : Number.NaN
}

type Known = readonly [at: number, cost: number]

/** A fraction of linear terms through three points, at a fourth: it keeps the cross ratio of any four (from memory). A line where they lie on one. */
function fractionThrough([[a, costA], [b, costB], [c, costC]]: readonly [Known, Known, Known], t: number): number {
  const line = (at: number): number => costA + ((costC - costA) * (at - a)) / (c - a)
  if (Math.abs(line(b) - costB) <= 1e-9 * Math.max(1, Math.abs(costA), Math.abs(costC))) return line(t)
  const cross = (((t - a) * (b - c)) / ((t - c) * (b - a))) * ((costB - costA) / (costB - costC))
  return (costA - cross * costC) / (1 - cross)
}

test('the cost over a ratio turns where the curve says and nowhere else, by HiGHS', { timeout: 180_000 }, () => {
  const seen = { curves: 0, turns: 0, stretches: 0, bends: 0 }
  fc.assert(
    fc.property(aProblem, fc.double({ min: 0.2, max: 3, noNaN: true }), fc.nat(), (plain, least, which) => {
      const names = Object.keys(plain.ingredients[0]?.nutrients ?? {})
      const [over, under] = [names[which % names.length], names[(which + 1) % names.length]]
      if (over === undefined || under === undefined || over === under) return
      const problem: FormulaProblem = { ...plain, ratios: [{ id: 'r', numerator: { [over]: 1 }, denominator: { [under]: 1 }, min: least }] }
      const place = placeOf(problem, 'ratio:r:min')
      if (!place) throw new Error('no place')
      const curve = limitCurve(problem, 'ratio:r:min', { from: 0.05, to: 50 }, glpk)
      if (curve.kind !== 'curve') {
        expect(['infeasible', 'unbounded']).toContain(curve.reason)
        return
      }
      if (curve.points.length < 2) return
      expect(curve.exact).toBe(true)
      seen.curves += 1
      const at = (value: number) => costBy(withLimit(problem, place, value))
      const size = Math.max(1, ...curve.points.map(({ cost }) => Math.abs(cost)))
      const ends = curve.points.filter(({ turns }, i) => turns || i === 0 || i === curve.points.length - 1)
      seen.turns += ends.length - 2
      for (const [i, b] of ends.entries()) {
        const a = ends[i - 1]
        if (!a || b.at - a.at < 1e-4 * b.at) continue
        seen.stretches += 1
        const part = (share: number): number => a.at + share * (b.at - a.at)
        const known = [1e-3, 0.5, 1 - 1e-3].map((share): Known => [part(share), at(part(share))])
        const [one, two, three] = known
        if (!one || !two || !three) throw new Error('three points')
        if (Math.abs(two[1] - (one[1] + three[1]) / 2) > 1e-6 * size) seen.bends += 1
        for (const share of [0.1, 0.3, 0.8])
          expect(Math.abs(at(part(share)) - fractionThrough([one, two, three], part(share))), `at ${part(share)}`).toBeLessThanOrEqual(
            2e-6 * size,
          )
      }
      for (const { at: value, cost, turns, slopeLeft, slopeRight } of curve.points) {
        expect(Math.abs(at(value) - cost), `cost at ${value}`).toBeLessThanOrEqual(1e-6 * size)
        if (turns) expect(slopeLeft).not.toBe(slopeRight)
      }
    }),
    { seed: 20261128, numRuns: 150 },
  )
  expect(seen.curves).toBeGreaterThan(40)
  expect(seen.turns).toBeGreaterThan(40)
  expect(seen.stretches).toBeGreaterThan(80)
  expect(seen.bends).toBeGreaterThan(20)
})

test('a ratio that a mix without either side keeps has no end, as HiGHS finds', () => {
  const blend = (salt: object): FormulaProblem => ({
    batch: { size: 10, relation: '=' },
    ingredients: [
      { id: 'chalk', cost: 1, nutrients: { ca: 2, p: 1 } },
      { id: 'salt', cost: 3, nutrients: { ca: 0, p: 0 }, ...salt },
    ],
    ratios: [{ id: 'r', numerator: { ca: 1 }, denominator: { p: 1 }, min: 1 }],
  })
  const place = placeOf(blend({}), 'ratio:r:min')
  if (!place) throw new Error('no place')
  // salt alone holds no calcium and no phosphorus: 0 against any limit x 0
  expect(costBy(withLimit(blend({}), place, 5))).toBeCloseTo(30, 9)
  expect(feasibleEnds(blend({}), 'ratio:r:min', place, glpk)).toEqual({ kind: 'ends', from: null, to: null })
  // with some chalk in every mix the ratio is that of chalk, and HiGHS finds no mix above it
  expect(costBy(withLimit(blend({ max: 9 }), place, 2.001))).toBeNaN()
  expect(feasibleEnds(blend({ max: 9 }), 'ratio:r:min', place, glpk)).toMatchObject({ kind: 'ends', from: null, to: 2 })
  const curve = limitCurve(blend({}), 'ratio:r:min', { from: 1, to: 4 }, glpk)
  if (curve.kind !== 'curve') throw new Error(curve.reason)
  for (const { at, cost } of curve.points) expect(cost, `at ${at}`).toBeCloseTo(costBy(withLimit(blend({}), place, at)), 6)
  expect([curve.points[0]?.at, curve.points.at(-1)?.at]).toEqual([1, 4])
})

test('a limit that is a quotient has no curve where the other limits allow no mix, also with a batch of any size', () => {
  const crossed: FormulaProblem = {
    batch: { size: 1, relation: '>=' },
    ingredients: [
      { id: 'chalk', cost: 1, nutrients: { ca: 2 }, min: 0.01, max: 0 },
      { id: 'bran', cost: 3, nutrients: { ca: 1 } },
    ],
    nutrients: [{ id: 'ca', basis: 'concentration', min: 1 }],
  }
  expect(limitCurve(crossed, 'nutrient:ca:min', { from: 0, to: 2 }, glpk)).toEqual({ kind: 'none', reason: 'infeasible' })
  expect(costBy(crossed)).toBeNaN()
})
