import { describe, expect, test } from 'vitest'
import { explain, type Explanation } from '#core/formulation/explain'
import { roundedOutwards, stepOf } from '#core/formulation/explain-step'
import { formulate } from '#core/formulation/formulate'
import { mixProblem } from '#core/formulation/mix-problem'
import { limitCurve } from '#core/formulation/parametric'
import { placeOf, withLimit } from '#core/formulation/parametric-limit'
import type { FormulaProblem } from '#core/formulation/problem'
import { limitsOf, programOf } from '#core/formulation/program'
import { leastRelaxation, jointRelaxation, relaxed } from '#core/formulation/relax'
import { cheapestPurchase } from '#core/formulation/repair'
import { createGlpkSolver } from '#platform/solver/glpk'
import { createHighsSolver } from '#platform/solver/highs'
import { growerLimits, growerLots } from './grower.js'
import { readCase, type ReferenceCase } from './reference-cases.js'

const glpk = await createGlpkSolver()
const highs = await createHighsSolver()

const { problem } = mixProblem({ batchKg: 500, lots: growerLots, limits: growerLimits })
const cheapest = (some: FormulaProblem): number | null => {
  const found = highs.solve(programOf(limitsOf(some)))
  return found.kind === 'optimal' ? found.objective : null
}
function optimal(some: Explanation): Extract<Explanation, { kind: 'optimal' }> {
  if (some.kind !== 'optimal') throw new Error(some.kind)
  return some
}

describe('why a mix is as it is', () => {
  const told = optimal(explain(problem, formulate(problem, glpk), glpk))

  test('prices and ranges of ingredients are those of the reference case', () => {
    const printed = readCase<{ expected: { costRanging: Record<string, { low: number | null; high: number | null }> } }>(
      'broiler-grower-14',
    )
    expect(told.complete).toBe(true)
    expect(told.ingredients.length).toBe(growerLots.length)
    for (const one of told.ingredients) {
      const { low, high } = printed.expected.costRanging[one.ingredientId.replace('lot-', '')] ?? { low: 0, high: 0 }
      // 5 decimals are printed; nothing is told of prices below zero
      const positive = low === null || low <= 0 ? null : low
      if (!one.used) expect(one.breakEven).toBeCloseTo(positive ?? Number.NaN, 4)
      else if (one.ingredientId !== 'lot-premix') {
        if (positive === null) expect(one.stays?.from).toBeNull()
        else expect(one.stays?.from).toBeCloseTo(positive, 4)
        expect(one.stays?.to).toBeCloseTo(high ?? Number.NaN, 4)
      } else expect(one.stays).toEqual({ from: null, to: null })
    }
  })

  test('each limit saves for a sensible step what a mix under the eased limit saves, as far as it says', () => {
    const now = cheapest(problem) ?? Number.NaN
    expect(told.limits.map((one) => one.rowId)).toContain('nutrient:CP:min')
    for (const one of told.limits) {
      const place = placeOf(problem, one.rowId)
      if (!place) throw new Error(one.rowId)
      const at = (value: number) => cheapest(withLimit(problem, place, value)) ?? Number.NaN
      expect(((now - at(one.easedTo)) / 500) * 1000, one.rowId).toBeCloseTo(one.savesPerTonne, 6)
      const { from, to } = one.holds ?? { from: one.limit, to: one.limit }
      const price = one.savesPerTonne / (one.limit - one.easedTo || 1)
      for (const end of [from, to])
        if (end !== null) expect(((now - at(end)) / 500) * 1000, `${one.rowId} ${end}`).toBeCloseTo(price * (one.limit - end), 4)
    }
    // the reference case has protein at 0.00786231840109 per unit of mass in 1,000 kg, from 17282.05 to 21137.71 (5 decimals)
    const protein = told.limits.find((one) => one.rowId === 'nutrient:CP:min')
    expect(protein).toMatchObject({ limit: 19.5, easedTo: 19.4, side: 'min', meaning: { kind: 'nutrient', nutrient: 'CP', side: 'min' } })
    expect(protein?.savesPerTonne).toBeCloseTo(0.786231840109, 8)
    expect(protein?.holds?.from).toBeCloseTo(17.28205, 5)
    expect(protein?.holds?.to).toBeCloseTo(21.13771, 5)
    expect([...told.limits].sort((a, b) => b.savesPerTonne - a.savesPerTonne)).toEqual(told.limits)
  })

  test('stops when it may not go on, and says that it is not complete', () => {
    let asked = 0
    const short = optimal(explain(problem, formulate(problem, glpk), glpk, { mayGoOn: () => (asked += 1) <= 3 }))
    expect(short.complete).toBe(false)
    expect(short.limits.length).toBe(3)
    expect(short.ingredients).toEqual([])
  })

  test('of an impossible mix names the conflict and changes that people would write, each enough', () => {
    const { problem: impossible } = readCase<ReferenceCase>('broiler-grower-infeasible-energy')
    const found = explain(impossible, formulate(impossible, glpk), glpk, { mayChange: (id) => id !== 'batch' })
    if (found.kind !== 'infeasible') throw new Error(found.kind)
    const energy = found.single.find((one) => one.rowId === 'nutrient:me:min')
    // printed: 3,142,985.41 in 1,000 kg; the nutrient is not one of ours, so the step is the next decimal place
    expect(energy).toMatchObject({ from: 3250, toSensible: 3100 })
    expect(found.single.map((one) => one.rowId)).not.toContain('batch')
    for (const one of found.single) expect(cheapest(relaxed(impossible, [{ ...one, to: one.toSensible }])), one.rowId).not.toBeNull()
    expect(found.conflict.map((one) => one.rowId)).toContain('nutrient:me:min')
  })

  test('with whole amounts there is nothing to tell of prices', () => {
    const whole = { ...problem, ingredients: problem.ingredients.map((one) => ({ ...one, increment: 1 })) }
    expect(explain(whole, formulate(problem, glpk), glpk)).toEqual({ kind: 'none', reason: 'whole-amounts' })
  })

  test('steps are those of the nutrient or a small part of the whole, and are rounded outwards', () => {
    expect(stepOf('nutrient:CP:min', 16.5, 500)).toBe(0.1)
    expect(stepOf('nutrient:AME:min', 2750, 500)).toBe(10)
    expect(stepOf('linear:ingredient/soya/max', 100, 500)).toBe(5)
    expect(stepOf('ingredient:lot:max', 2, 500)).toBeCloseTo(0.1, 12)
    expect(roundedOutwards(19.84, 0.1, -1)).toBe(19.8)
    expect(roundedOutwards(5.31, 0.1, 1)).toBe(5.4)
    expect(roundedOutwards(19.8, 0.1, -1)).toBe(19.8)
  })
})

describe('where limits ask for certainty', () => {
  // 1.645: the normal quantile of 95 %
  const unsure: FormulaProblem = {
    ...problem,
    ingredients: problem.ingredients.map((one) => ({
      ...one,
      spreads: { CP: { own: 0.05 * (one.nutrients?.['CP'] ?? 0), shared: { book: 0.2 } } },
    })),
    nutrients: (problem.nutrients ?? []).map((one) => (one.id === 'CP' ? { ...one, z: 1.645 } : one)),
  }
  const costOf = (some: FormulaProblem) => {
    const found = formulate(some, highs)
    return found.status === 'optimal' ? found.objective : null
  }

  test('savings are those of solving again, and an unused lot still has its break-even price', () => {
    const told = optimal(explain(unsure, formulate(unsure, glpk), glpk))
    const now = costOf(unsure) ?? Number.NaN
    const protein = told.limits.find((one) => one.rowId === 'nutrient:CP:min')
    const place = placeOf(unsure, 'nutrient:CP:min')
    if (!protein || !place) throw new Error('no protein')
    expect(protein.holds).toBeUndefined()
    expect(((now - (costOf(withLimit(unsure, place, protein.easedTo)) ?? Number.NaN)) / 500) * 1000).toBeCloseTo(protein.savesPerTonne, 4)
    expect(told.ingredients.find((one) => one.ingredientId === 'lot-wheat')).toMatchObject({ used: false })
    expect(told.ingredients.filter((one) => one.used && one.stays !== undefined)).toEqual([])
  })

  test('a curve follows the cost solved again, and ends where certainty ends', () => {
    const curve = limitCurve(unsure, 'nutrient:CP:min', { from: 18, to: 24 }, glpk)
    const place = placeOf(unsure, 'nutrient:CP:min')
    if (curve.kind !== 'curve' || !place) throw new Error('no curve')
    expect(curve.exact).toBe(false)
    const end = curve.feasible.to ?? Number.NaN
    expect(costOf(withLimit(unsure, place, end - 1e-4))).not.toBeNull()
    expect(costOf(withLimit(unsure, place, end + 1e-4))).toBeNull()
    for (const [i, b] of curve.points.entries()) {
      const a = curve.points[i - 1]
      if (!a || i % 7 !== 1) continue
      const middle = costOf(withLimit(unsure, place, (a.at + b.at) / 2)) ?? Number.NaN
      expect(Math.abs(middle - (a.cost + b.cost) / 2)).toBeLessThanOrEqual(1e-3 * middle)
    }
  })

  test('the least relaxation, alone and together, and the cheapest purchase keep the certainty', () => {
    const place = placeOf(unsure, 'nutrient:CP:min')
    if (!place) throw new Error('no protein')
    const tooMuch: FormulaProblem = { ...withLimit(unsure, place, 40), ingredients: unsure.ingredients }
    const one = leastRelaxation(tooMuch, 'nutrient:CP:min', glpk)
    if (!one) throw new Error('no relaxation')
    expect(costOf(relaxed(tooMuch, [{ ...one, to: one.to - 1e-3 }]))).not.toBeNull()
    expect(costOf(relaxed(tooMuch, [{ ...one, to: one.to + 1e-3 }]))).toBeNull()
    const joint = jointRelaxation(tooMuch, glpk, (id) => id === 'nutrient:CP:min') ?? []
    expect(joint.map((change) => change.to)).toEqual([expect.closeTo(one.to, 4)])

    const poor = (soya: number): FormulaProblem => ({
      batch: { size: 100, relation: '=' },
      ingredients: [
        { id: 'bran', cost: 20, nutrients: { CP: 8 } },
        { id: 'soya', cost: 70, nutrients: { CP: 45 }, spreads: { CP: { own: 2 } }, max: soya },
      ],
      nutrients: [{ id: 'CP', min: 20, basis: 'concentration', z: 1.645 }],
    })
    const bought = cheapestPurchase(poor(100), [{ ingredientId: 'soya' }], glpk)
    // x kg of soya: 8 (100 - x) + (45 - 1.645 x 2) x = 2,000
    expect(bought.kind === 'purchase' ? bought.purchases[0]?.kg : null).toBeCloseTo(1200 / (37 - 3.29), 4)
    expect(cheapestPurchase(poor(30), [{ ingredientId: 'soya' }], glpk)).toMatchObject({ kind: 'none', reason: 'not-enough' })
  })
})
