import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { formulate } from '#core/formulation/formulate'
import { entryOf, placeOf, withLimit } from '#core/formulation/parametric-limit'
import type { FormulaProblem } from '#core/formulation/problem'
import { limitsOf, programOf } from '#core/formulation/program'
import { leastRelaxation, relaxationsOf, relaxed, type Relaxation } from '#core/formulation/relax'
import { createGlpkSolver } from '#platform/solver/glpk'
import { createHighsSolver } from '#platform/solver/highs'
import { aProblem } from './random-blends.js'
import { referenceCases } from './reference-cases.js'

const glpk = await createGlpkSolver()
const highs = await createHighsSolver()

type RelaxedCase = {
  readonly id: string
  readonly problem: FormulaProblem
  readonly expected: { readonly smallestSingleRelaxation: Readonly<Record<string, { readonly from: number; readonly to: number }>> }
}
const cases = referenceCases.filter((one) => 'smallestSingleRelaxation' in one.expected) as unknown as readonly RelaxedCase[]

const holds = (problem: FormulaProblem): boolean => highs.solve(programOf(limitsOf(problem), { cost: false })).kind === 'optimal'
/** The same limit, by a share of the change either side of where it was relaxed to. */
const movedBy = (one: Relaxation, part: number): Relaxation => ({ ...one, to: one.from + (one.to - one.from) * part })
/**
 * Whether it holds just past where it was relaxed to. A fixed value is feasible at it, and perhaps at no other: a thousand-millionth either side
 * is still at it, because GLPK gave 13.064241917339 where HiGHS with its presolve takes 13.064241917341 alone.
 */
const holdsPast = (problem: FormulaProblem, changes: readonly Relaxation[]): boolean =>
  [0, 1e-9, -1e-9].some((hair) =>
    holds(
      relaxed(
        problem,
        changes.map((one) => movedBy(one, one.side === 'eq' ? 1 + hair : 1.001)),
      ),
    ),
  )

describe('the least relaxation', () => {
  test('is printed by 4 cases', () => {
    expect(cases.map((one) => one.id)).toEqual([
      'broiler-grower-infeasible-calcium',
      'broiler-grower-infeasible-energy',
      'infeasible-three-rows-elastic',
      'nine-food-diet-dairy-infeasible',
    ])
  })

  for (const solver of [glpk, highs])
    test.each(cases.map((one) => [one.id, one] as const))(`${solver.name}: %s to the printed digits`, (_, one) => {
      for (const [rowId, wanted] of Object.entries(one.expected.smallestSingleRelaxation)) {
        const found = leastRelaxation(one.problem, rowId, solver)
        const place = placeOf(one.problem, rowId)
        const entry = place && entryOf(one.problem, place)
        const perUnit = entry?.kind === 'right-hand-side' ? entry.perUnit : Number.NaN
        // printed per unit of the row's right-hand side, with 9 digits
        expect((found?.from ?? Number.NaN) * perUnit, rowId).toBeCloseTo(wanted.from, 9)
        expect(Math.abs((found?.to ?? Number.NaN) * perUnit - wanted.to), rowId).toBeLessThanOrEqual(1e-8 * Math.abs(wanted.to))
      }
      const answer = formulate(one.problem, solver)
      if (answer.status !== 'infeasible') throw new Error(answer.status)
      const { single } = relaxationsOf(one.problem, answer.conflict, solver)
      const printed = Object.keys(one.expected.smallestSingleRelaxation).filter((id) => answer.conflict.includes(id))
      expect(single.map((change) => change.rowId)).toEqual(expect.arrayContaining(printed))
    })

  test('of random problems: feasible just past it, infeasible just short of it, alone or together', { timeout: 120_000 }, () => {
    const seen = { single: 0, joint: 0, ratio: 0 }
    fc.assert(
      fc.property(aProblem, (problem) => {
        const answer = formulate(problem, glpk)
        if (answer.status !== 'infeasible') return
        const { single, joint } = relaxationsOf(problem, answer.conflict, glpk)
        for (const one of single) {
          const size = Math.abs(one.to - one.from) / Math.max(Math.abs(one.from), Math.abs(one.to), 1e-9)
          if (size < 1e-4) continue
          seen.single += 1
          if (one.rowId.startsWith('ratio:')) seen.ratio += 1
          expect(holdsPast(problem, [one]), `past ${JSON.stringify(one)}`).toBe(true)
          expect(holds(relaxed(problem, [movedBy(one, 0.99)])), `short of ${JSON.stringify(one)}`).toBe(false)
        }
        if (joint && joint.length > 0 && joint.every((one) => Math.abs(one.to - one.from) > 1e-6 * Math.abs(one.from))) {
          seen.joint += 1
          expect(holdsPast(problem, joint)).toBe(true)
          expect(
            holds(
              relaxed(
                problem,
                joint.map((one) => movedBy(one, 0.98)),
              ),
            ),
          ).toBe(false)
        }
      }),
      { seed: 20261125, numRuns: 150 },
    )
    expect(seen.single).toBeGreaterThan(50)
    expect(seen.joint).toBeGreaterThan(3)
    expect(seen.ratio).toBeGreaterThan(0)
  })

  test('of two conflicts side by side is a least sum of shares, by hand', () => {
    // two feeds of known mass each: protein cannot reach 40 of 100 kg x 30 %, fibre cannot fall to 4 of 100 kg x 5 %
    const problem: FormulaProblem = {
      batch: { size: 100, relation: '=' },
      ingredients: [{ id: 'bran', cost: 1, nutrients: { CP: 30, CF: 5 } }],
      nutrients: [
        { id: 'CP', min: 40, basis: 'concentration' },
        { id: 'CF', max: 4, basis: 'concentration' },
      ],
    }
    const answer = formulate(problem, glpk)
    if (answer.status !== 'infeasible') throw new Error(answer.status)
    const { single, joint } = relaxationsOf(problem, answer.conflict, glpk)
    expect(single).toEqual([])
    expect(joint?.map((one) => [one.rowId, one.from, Number(one.to.toFixed(9))])).toEqual([
      ['nutrient:CP:min', 40, 30],
      ['nutrient:CF:max', 4, 5],
    ])
    const place = placeOf(problem, 'nutrient:CP:min')
    expect(place && holds(withLimit(problem, place, 30))).toBe(false)
  })
})
