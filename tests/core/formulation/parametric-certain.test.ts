import { describe, expect, test } from 'vitest'
import { certainRowsOf, missOf } from '#core/formulation/certainty-rows'
import { limitCurve } from '#core/formulation/parametric'
import type { Curve } from '#core/formulation/parametric-curve'
import { formulate } from '#core/formulation/formulate'
import { limitsOf } from '#core/formulation/program'
import { limitAt, placeOf, withLimit } from '#core/formulation/parametric-limit'
import type { FormulaProblem, ProblemRatio } from '#core/formulation/problem'
import { createGlpkSolver } from '#platform/solver/glpk'
import { simplexFirst } from '#platform/solver/simplex-first'
import { createHighsSolver } from '#platform/solver/highs'
import { randomProblem } from './certain-problems.js'
import { conicCost } from './conic-check.js'

const simplex = simplexFirst(await createGlpkSolver())
const highs = await createHighsSolver()
const problemFrom = (seed: number): FormulaProblem => randomProblem(seed, { lots: 12, nutrients: 6, certain: 3, z: 1.6449 })

function curveOf(problem: FormulaProblem, rowId: string) {
  const place = placeOf(problem, rowId)
  if (!place) throw new Error(rowId)
  const curve = limitCurve(problem, rowId, { from: 0, to: 100 * limitAt(problem, place) }, simplex)
  if (curve.kind !== 'curve') throw new Error(curve.reason)
  return { curve, at: (value: number) => withLimit(problem, place, value) }
}

/** By how much the mix of a curve's point misses the certain limits of a problem, as a share of what they are made of. */
const missed = (problem: FormulaProblem, { amounts }: Curve['points'][number]): number =>
  Math.max(
    ...certainRowsOf(problem).map((row) => {
      const { by, size } = missOf(
        row,
        problem.ingredients.map(({ id }) => amounts[id] ?? Number.NaN),
      )
      return by / size
    }),
  )

/** What the re-check of a mix lets pass. */
const LET_PASS = 1e-6

describe('a curve under certainty', { timeout: 120_000 }, () => {
  // the end is checked with HiGHS on a program of polygons, which stands for the certain limits without any tangent of ours
  test('begins and ends at the very ends of where a mix exists, and its mix there keeps the limits', () => {
    for (const seed of [1, 3, 7]) {
      const { curve, at } = curveOf(problemFrom(seed), 'nutrient:n0:min')
      const end = curve.feasible.to ?? Number.NaN
      const last = curve.points.at(-1)
      if (!last) throw new Error('no points')
      expect(Math.abs(last.at - end) / end, String(seed)).toBeLessThanOrEqual(1e-8)
      expect(missed(at(last.at), last)).toBeLessThanOrEqual(LET_PASS)
      expect(conicCost(at(end * (1 - LET_PASS)), highs), String(seed)).not.toBeNull()
      expect(conicCost(at(end * (1 + LET_PASS)), highs), String(seed)).toBeNull()
    }
  })

  /** A ratio of at least `least` as a nutrient of which there is at least nothing: the polygons know no ratios. */
  const withDifference = (problem: FormulaProblem, least: number): FormulaProblem => ({
    ...problem,
    ingredients: problem.ingredients.map((one) => ({
      ...one,
      nutrients: { ...one.nutrients, difference: (one.nutrients?.['n0'] ?? 0) - least * (one.nutrients?.['n3'] ?? 0) },
    })),
    nutrients: [...(problem.nutrients ?? []), { id: 'difference', basis: 'concentration', min: 0 }],
  })

  test('of a ratio too, which is as dear between its points as the polygons have it', () => {
    for (const seed of [1, 3, 7]) {
      const plain = problemFrom(seed)
      const ratio: ProblemRatio = { id: 'r', numerator: { n0: 1 }, denominator: { n3: 1 }, min: 1 }
      const { curve, at } = curveOf({ ...plain, ratios: [ratio] }, 'ratio:r:min')
      const end = curve.feasible.to ?? Number.NaN
      const last = curve.points.at(-1)
      if (!last) throw new Error('no points')
      expect(Math.abs(last.at - end) / end, String(seed)).toBeLessThanOrEqual(1e-8)
      expect(missed(at(last.at), last)).toBeLessThanOrEqual(LET_PASS)
      expect(conicCost(withDifference(plain, end * (1 - LET_PASS)), highs), String(seed)).not.toBeNull()
      expect(conicCost(withDifference(plain, end * (1 + LET_PASS)), highs), String(seed)).toBeNull()
      const middle = curve.points[Math.floor(curve.points.length / 2)]
      expect(middle?.cost).toBeCloseTo(conicCost(withDifference(plain, middle?.at ?? Number.NaN), highs) ?? Number.NaN, 1)
    }
  })
})

test('where the other limits ask for more certainty than any mix has, a curve says that there is no mix', () => {
  let met = 0
  for (let seed = 0; seed < 20; seed += 1) {
    const problem = randomProblem(seed, { lots: 12, nutrients: 6, certain: 6, z: 9 })
    const row = limitsOf(problem).rows.find(({ id }) => id.endsWith(':min'))?.id ?? ''
    const place = placeOf(problem, row)
    if (!place || formulate(withLimit(problem, place, undefined), simplex).status !== 'infeasible') continue
    met += 1
    expect(limitCurve(problem, row, { from: 0, to: 100 }, simplex), `problem ${seed}`).toMatchObject({ kind: 'none', reason: 'infeasible' })
  }
  expect(met).toBeGreaterThan(3)
})
