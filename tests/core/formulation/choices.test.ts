import { describe, expect, test } from 'vitest'
import { formulate } from '#core/formulation/formulate'
import { upperBoundsOf } from '#core/formulation/integer-bounds'
import type { LinearSolver, Solver } from '#core/formulation/linear-program'
import type { FormulaProblem } from '#core/formulation/problem'
import { limitsOf } from '#core/formulation/program'
import { recheck } from '#core/formulation/recheck'
import { describeRow } from '#core/formulation/row-id'
import { createGlpkSolver } from '#platform/solver/glpk'
import { createHighsSolver } from '#platform/solver/highs'

const glpk = await createGlpkSolver()
const highs = await createHighsSolver()

const blend: FormulaProblem = {
  batch: { size: 100, relation: '=' },
  ingredients: [
    { id: 'maize', cost: 30, nutrients: { cp: 8 } },
    { id: 'soya', cost: 60, nutrients: { cp: 44 }, max: 40 },
    { id: 'bran', cost: 20, nutrients: { cp: 15 } },
  ],
  nutrients: [{ id: 'cp', min: 18, basis: 'concentration' }],
}
const with_ = (changes: Partial<FormulaProblem>): FormulaProblem => ({ ...blend, ...changes })

describe('the most that can be used of an ingredient', () => {
  test('is its own maximum, what the batch leaves, or what a nutrient or sum lets be, whichever is least', () => {
    expect(upperBoundsOf(limitsOf(blend))).toEqual([100, 40, 100])
    const capped = with_({
      nutrients: [{ id: 'cp', max: 12, basis: 'concentration' }],
      linear: [{ id: 'sum', coefs: { maize: 2, bran: 1 }, max: 120 }],
    })
    // 1200 kg% of protein: 27.27 kg of soya; twice maize at most 120
    expect(upperBoundsOf(limitsOf(capped)).map((most) => Number(most?.toFixed(4)))).toEqual([60, 27.2727, 80])
  })

  test('is asked for where no limit gives it, and never made up', () => {
    const open: FormulaProblem = { ingredients: [{ id: 'x', cost: 1, minIfUsed: 2 }], linear: [{ id: 'r', coefs: { x: 1 }, min: 1 }] }
    expect(formulate(open, glpk)).toEqual({ status: 'failed', reason: 'unsupported', detail: 'no upper bound for x' })
    expect(formulate({ ...open, bigM: 50 }, glpk)).toMatchObject({ status: 'optimal', objective: 2, amounts: { x: 2 } })
  })
})

describe.each([glpk, highs])('$name', (solver: Solver) => {
  test('holds groups, fixed shares and the change against a previous mix, of a fixed batch and of a free one', () => {
    const previous = { amounts: { maize: 60, soya: 20, bran: 20 }, maxChange: { maize: 5, bran: 8 } }
    const grouped = formulate(with_({ groups: [{ id: 'energy', items: ['maize', 'bran'], max: 75 }], previous }), solver)
    // bran is the cheapest way to protein, but maize may fall to 55 only, and both together may be 75 at most: 20 of bran, 25 of soya
    if (grouped.status !== 'optimal') throw new Error(JSON.stringify(grouped))
    expect(grouped.binding).toEqual(['batch', 'group:energy:max', 'change:maize:min'])
    expect(grouped.objective).toBeCloseTo(55 * 30 + 20 * 20 + 25 * 60, 6)
    const shares: FormulaProblem = {
      ...blend,
      inclusionBasis: 'fraction',
      ingredients: blend.ingredients.map((one) => (one.id === 'soya' ? { ...one, max: 0.4 } : one)),
      groups: [{ id: 'energy', items: ['maize', 'bran'], max: 0.75 }],
      previous: { amounts: { maize: 0.6, soya: 0.2, bran: 0.2 }, maxChange: { maize: 0.05, bran: 0.08 } },
    }
    for (const relation of ['=', '>='] as const) {
      const found = formulate({ ...shares, batch: { size: 100, relation } }, solver)
      expect(found.status === 'optimal' ? found.objective : found).toBeCloseTo(grouped.objective, 6)
    }
    expect(recheck(shares, [80, 0, 20]).map(({ id }) => id)).toEqual(['nutrient:cp:min', 'group:energy:max', 'change:maize:max'])
  })

  test('names rules that cannot hold by their ids', () => {
    const found = formulate(
      with_({
        logic: [
          { id: 'few', type: 'atMost', k: 1, items: ['maize', 'soya', 'bran'] },
          { id: 'both', type: 'implies', if: 'maize', then: 'soya' },
        ],
      }),
      solver,
    )
    expect(found).toMatchObject({ status: 'infeasible' })
    const meanings = found.status === 'infeasible' ? found.conflict.map((id) => describeRow(id)) : []
    expect(meanings).toContainEqual({ kind: 'choice', of: 'logic', id: 'few' })
  })

  test('stops in time with what it has and what it could prove', () => {
    // thirty kinds of bag of odd sizes, six sums to hit: minutes of search
    const figure = (i: number, j: number) => 1 + ((i * 7919 + j * 104_729 + i * j * 31) % 97)
    const hard: FormulaProblem = {
      ingredients: Array.from({ length: 30 }, (_, i) => ({ id: `i${i}`, cost: figure(i, 50), max: 12, integer: true })),
      linear: Array.from({ length: 6 }, (_, j) => ({
        id: `r${j}`,
        coefs: Object.fromEntries(Array.from({ length: 30 }, (__, i) => [`i${i}`, figure(i, j)])),
        min: 5000,
        max: 5030,
      })),
    }
    const begun = performance.now()
    const found = formulate(hard, solver, { search: { timeLimitMs: 400 } })
    expect(performance.now() - begun).toBeLessThan(10_000)
    if (found.status === 'optimal') {
      expect(recheck(hard, Object.values(found.amounts))).toEqual([])
      expect(found.search?.bound).toBeLessThanOrEqual(found.objective)
    } else expect(found).toMatchObject({ status: 'failed', reason: 'time-limit' })
  })
})

test('a solver of linear programs alone is told from one that takes whole numbers', () => {
  const linear: LinearSolver = { name: 'linear', solve: (lp) => glpk.solve(lp) }
  expect(formulate(with_({ logic: [{ id: 'one', type: 'eitherOr', items: ['maize', 'bran'] }] }), linear)).toMatchObject({
    status: 'failed',
    reason: 'unsupported',
  })
})

test('the re-check has its own eyes for whole amounts, least uses and rules', () => {
  const problem = with_({
    nutrients: [],
    ingredients: [
      { id: 'maize', cost: 1, increment: 25 },
      { id: 'soya', cost: 1, minIfUsed: 10 },
      { id: 'bran', cost: 1, integer: true },
    ],
    logic: [
      { id: 'few', type: 'atMost', k: 1, items: ['maize', 'soya', 'bran'] },
      { id: 'one', type: 'eitherOr', items: ['maize', 'bran'] },
      { id: 'all', type: 'atLeast', k: 3, items: ['maize', 'soya', 'bran'] },
      { id: 'so', type: 'implies', if: 'maize', then: 'soya' },
    ],
  })
  expect(recheck(problem, [60, 4.5, 35.5])).toEqual([
    { id: 'increment:maize', by: 10 },
    { id: 'minIfUsed:soya', by: 4.5 },
    { id: 'integer:bran', by: 0.5 },
    { id: 'logic:few', by: 2 },
    { id: 'logic:one', by: 1 },
  ])
  expect(recheck(problem, [100, 0, 0])).toEqual([
    { id: 'logic:all', by: 2 },
    { id: 'logic:so', by: 1 },
  ])
})
