import { describe, expect, test } from 'vitest'
import type { LinearSolver } from '#core/formulation/linear-program'
import type { Curve, NoCurve } from '#core/formulation/parametric-curve'
import { priceCurve, priceSteps } from '#core/formulation/parametric-price'
import type { FormulaProblem } from '#core/formulation/problem'
import { createGlpkSolver } from '#platform/solver/glpk'
import { createHighsSolver } from '#platform/solver/highs'
import { referenceCases } from './reference-cases.js'

const solvers: readonly LinearSolver[] = [await createGlpkSolver(), await createHighsSolver()]

type Step = { readonly price: number; readonly amount: number; readonly objective: number }
type PriceCase = {
  readonly id: string
  readonly kind: string
  readonly problem: FormulaProblem
  readonly parameter: { readonly ingredient: string; readonly from: number; readonly to: number }
  readonly expected: {
    readonly atLow: Step
    readonly atHigh: Step
    readonly breakPoints: readonly { readonly price: number; readonly amountBelow: number; readonly amountAbove: number }[]
  }
  readonly tolerance: { readonly priceRelative: number; readonly amountRelative: number }
  readonly verification: { readonly midpoints: readonly { readonly price: number; readonly objective: number }[] }
}
const priceCases = referenceCases.filter((one) => one.kind === 'parametric-price') as unknown as readonly PriceCase[]

function curveOf(found: Curve | NoCurve): Curve {
  if (found.kind !== 'curve') throw new Error(found.reason)
  return found
}

/** To the digits that the case prints (price 1e-6, amount 1e-5 of itself); a printed zero to a thousandth of a gram. */
const near = (actual: number | undefined, wanted: number, relative: number) =>
  expect(Math.abs((actual ?? Number.NaN) - wanted), `${actual} instead of ${wanted}`).toBeLessThanOrEqual(
    relative * Math.abs(wanted) + 1e-6,
  )

describe('the check cases of a running price', () => {
  test('are the two of the collection', () => {
    expect(priceCases.map((one) => one.id)).toEqual(['broiler-grower-fishmeal-price', 'broiler-grower-sunflower-price'])
  })

  for (const solver of solvers)
    test.each(priceCases.map((one) => [one.id, one] as const))(`${solver.name}: %s to the printed digits`, (_, one) => {
      const curve = curveOf(priceCurve(one.problem, [one.parameter.ingredient], one.parameter, solver))
      const steps = priceSteps(curve)
      expect(curve.exact).toBe(true)
      expect(steps?.breakPoints.length).toBe(one.expected.breakPoints.length)
      for (const [i, wanted] of one.expected.breakPoints.entries()) {
        const found = steps?.breakPoints[i]
        near(found?.price, wanted.price, one.tolerance.priceRelative)
        near(found?.amountBelow, wanted.amountBelow, one.tolerance.amountRelative)
        near(found?.amountAbove, wanted.amountAbove, one.tolerance.amountRelative)
      }
      for (const end of ['atLow', 'atHigh'] as const) {
        near(steps?.[end].price, one.expected[end].price, 0)
        near(steps?.[end].amount, one.expected[end].amount, one.tolerance.amountRelative)
        near(steps?.[end].objective, one.expected[end].objective, 1e-9)
      }
      for (const { price, objective } of one.verification.midpoints) {
        const after = curve.points.findIndex((point) => point.at > price)
        const left = curve.points[after - 1]
        near((left?.cost ?? Number.NaN) + (left?.slopeRight ?? Number.NaN) * (price - (left?.at ?? Number.NaN)), objective, 1e-9)
      }
    })
})
