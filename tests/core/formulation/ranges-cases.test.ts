import { describe, expect, test } from 'vitest'
import { formulate, type OptimalFormulation } from '#core/formulation/formulate'
import type { LinearSolver } from '#core/formulation/linear-program'
import { hasWholeAmounts } from '#core/formulation/parametric-limit'
import type { FormulaProblem } from '#core/formulation/problem'
import { limitsOf, programOf } from '#core/formulation/program'
import { limitRange, pricesStaying, priceRanges, rowRange } from '#core/formulation/ranges'
import type { LimitSide } from '#core/formulation/ranges-side'
import { statementOfMulti, type MultiProblem } from '#core/formulation/multi'
import { coneAt } from '#core/formulation/ranges-cone'
import { createGlpkSolver } from '#platform/solver/glpk'
import { createHighsSolver } from '#platform/solver/highs'
import { referenceCases, type Expected } from './reference-cases.js'

const solvers: readonly LinearSolver[] = [await createGlpkSolver(), await createHighsSolver()]

type Range = { readonly low: number | null; readonly high: number | null }
type Ranged = Expected & {
  readonly costRanging?: Readonly<Record<string, Range>>
  readonly rhsRanging?: Readonly<Record<string, Range>>
}
type RangedCase = { readonly id: string; readonly problem: FormulaProblem; readonly expected: Ranged }

const ranged: readonly RangedCase[] = referenceCases.filter(
  (one) => one.kind === 'formula' && 'costRanging' in one.expected && !hasWholeAmounts(one.problem),
)

/**
 * The case as its `lp` states it, with the mass of a nutrient limited instead of its concentration: the printed figures of the batch are
 * of its row alone, while a batch of Kinu carries the concentrations with it.
 */
const byMass = (problem: FormulaProblem): FormulaProblem => {
  const size = problem.batch?.relation === '=' ? problem.batch.size : null
  if (size === null) return problem
  const times = (value: number | undefined) => (value === undefined ? undefined : value * size)
  return {
    ...problem,
    nutrients: (problem.nutrients ?? []).map((one) =>
      one.basis === 'total' ? one : { ...one, basis: 'total', min: times(one.min), max: times(one.max) },
    ),
  }
}

function solved(problem: FormulaProblem, solver: LinearSolver): { found: OptimalFormulation; x: number[] } {
  const found = formulate(problem, solver)
  if (found.status !== 'optimal') throw new Error(found.status)
  return { found, x: problem.ingredients.map(({ id }) => found.amounts[id] ?? Number.NaN) }
}

/** Neither degenerate nor with a second best mix: as many amounts between their bounds as rows at their limits, and the amounts unique. */
function isPlain(one: RangedCase, x: readonly number[]): boolean {
  const cone = coneAt(limitsOf(one.problem), x)
  const between = cone.amounts.filter((edges) => !edges.low && !edges.high).length
  return one.expected.amountsUnique === true && between === cone.rows.length
}

/** The reports print 5 decimals, large figures with 6 digits. */
const PRINTED = 5e-6
const near = (actual: number | null | undefined, wanted: number | null, what: string, relative = PRINTED) => {
  if (wanted === null || actual === null) expect(actual, what).toBe(wanted)
  else
    expect(Math.abs((actual ?? Number.NaN) - wanted), `${what}: ${actual} instead of ${wanted}`).toBeLessThanOrEqual(
      relative * Math.abs(wanted) + 6e-6,
    )
}

describe('the ranges that the check cases print', () => {
  test('are given by 17 cases, 13 of them plain and 3 with prices that differ by side', () => {
    const [glpk] = solvers
    if (!glpk) throw new Error('no solver')
    expect(ranged.length).toBe(17)
    expect(ranged.filter((one) => isPlain(one, solved(one.problem, glpk).x)).length).toBe(13)
    expect(ranged.filter((one) => one.expected.oneSidedShadowPrices).length).toBe(3)
  })

  for (const solver of solvers) {
    test.each(ranged.map((one) => [one.id, one] as const))(`${solver.name}: %s, prices of its limits`, (_, one) => {
      const problem = byMass(one.problem)
      const { x } = solved(problem, solver)
      const plain = isPlain(one, x)
      let compared = 0
      for (const [id, price] of Object.entries(one.expected.shadowPrices ?? {})) {
        if (one.expected.oneSidedShadowPrices) break
        const range = limitRange(problem, x, id, solver)
        if (!range || range.perUnit === null || !plain) continue
        for (const side of [range.below, range.above]) if (side) near(side.slope / range.perUnit, price, `price of ${id}`, 1e-6)
      }
      for (const [id, { low, high }] of Object.entries(one.expected.rhsRanging ?? {})) {
        const range = limitRange(problem, x, id, solver)
        if (!range || range.perUnit === null || !plain) continue
        const end = (side: LimitSide | null) =>
          side?.holdsTo === undefined ? Number.NaN : side.holdsTo === null ? null : side.holdsTo * (range.perUnit ?? 1)
        near(end(range.below), low, `low end of ${id}`)
        near(end(range.above), high, `high end of ${id}`)
        compared += 1
      }
      for (const [id, { decrease, increase }] of Object.entries(one.expected.oneSidedShadowPrices ?? {})) {
        const range = limitRange(problem, x, id, solver)
        const price = (side: LimitSide | null | undefined) => (side ? side.slope / (range?.perUnit ?? Number.NaN) : 'infeasible')
        for (const [actual, wanted] of [
          [price(range?.below), decrease],
          [price(range?.above), increase],
        ] as const)
          if (typeof wanted === 'number' && typeof actual === 'number') near(actual, wanted, `one-sided price of ${id}`)
          else expect(actual, id).toBe(wanted)
        compared += 1
      }
      expect(compared).toBeGreaterThan(one.id === 'broiler-grower-alternative-optima' ? -1 : 0)
    })

    test.each(ranged.map((one) => [one.id, one] as const))(`${solver.name}: %s, price ranges of its ingredients`, (_, one) => {
      let compared = 0
      const { x } = solved(one.problem, solver)
      const plain = isPlain(one, x)
      for (const range of priceRanges(one.problem, x, solver)) {
        const wanted = one.expected.costRanging?.[range.ingredientId]
        if (!wanted || !one.expected.amountsUnique) continue
        if (plain) {
          near(range.from, wanted.low, `${range.ingredientId} from`)
          near(range.to, wanted.high, `${range.ingredientId} to`)
        } else {
          // a report reads its range off one basis of several: the mix stays at least so long
          expect(range.from ?? Number.NEGATIVE_INFINITY).toBeLessThanOrEqual((wanted.low ?? Number.NEGATIVE_INFINITY) + 6e-6)
          expect(range.to ?? Number.POSITIVE_INFINITY).toBeGreaterThanOrEqual((wanted.high ?? Number.POSITIVE_INFINITY) - 6e-6)
        }
        compared += 1
      }
      expect(compared).toBe(one.expected.amountsUnique ? one.problem.ingredients.length : 0)
    })
  }
  // several products: rows of their own, per unit of right-hand side. The linear model with ranges has several optima, so it is left out
  test('three-gasolines-shared-crudes, in rows', () => {
    const one = referenceCases.find((some) => some.id === 'three-gasolines-shared-crudes')
    const [glpk] = solvers
    if (!one || !glpk) throw new Error('no case')
    const { limits, ids } = statementOfMulti(one.problem as unknown as MultiProblem)
    const expected = one.expected as Ranged
    const found = glpk.solve(programOf(limits))
    if (found.kind !== 'optimal') throw new Error(found.kind)
    for (const [id, { low, high }] of Object.entries(expected.rhsRanging ?? {})) {
      const range = rowRange(limits, found.x, id, glpk)
      for (const side of [range?.below, range?.above]) near(side?.slope, expected.shadowPrices?.[id] ?? Number.NaN, `price of ${id}`, 1e-6)
      near(range?.below?.holdsTo, low, `low end of ${id}`)
      near(range?.above?.holdsTo, high, `high end of ${id}`)
    }
    const prices = pricesStaying(limits, ids, found.x, glpk)
    expect(prices.map((range) => range.ingredientId).sort()).toEqual(Object.keys(expected.costRanging ?? {}).sort())
    for (const { ingredientId, from, to } of prices) {
      near(from, expected.costRanging?.[ingredientId]?.low ?? null, `${ingredientId} from`)
      near(to, expected.costRanging?.[ingredientId]?.high ?? null, `${ingredientId} to`)
    }
  })
})
