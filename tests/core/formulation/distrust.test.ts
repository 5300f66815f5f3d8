import { describe, expect, test } from 'vitest'
import { formulate } from '#core/formulation/formulate'
import type { LinearOutcome, LinearProgram, LinearSolver } from '#core/formulation/linear-program'
import type { FormulaProblem } from '#core/formulation/problem'
import { recheck } from '#core/formulation/recheck'
import { createGlpkSolver } from '#platform/solver/glpk'
import { createHighsSolver } from '#platform/solver/highs'

const glpk = await createGlpkSolver()
const highs = await createHighsSolver()

const problem: FormulaProblem = {
  batch: { size: 100, relation: '=' },
  ingredients: [
    { id: 'maize', cost: 30, nutrients: { cp: 8, ca: 0.03, avp: 0.1 } },
    { id: 'soya', cost: 60, nutrients: { cp: 44, ca: 0.3, avp: 0.2 }, max: 40 },
    { id: 'chalk', cost: 5, nutrients: { cp: 0, ca: 38, avp: 0 } },
  ],
  nutrients: [{ id: 'cp', min: 18, basis: 'concentration' }],
  ratios: [{ id: 'ca-avp', numerator: { ca: 1 }, denominator: { avp: 1 }, min: 1, max: 2 }],
}
const truth = (lp: LinearProgram) => {
  const outcome = glpk.solve(lp)
  if (outcome.kind !== 'optimal') throw new Error(outcome.kind)
  return outcome
}
const solverThat = (name: string, solve: (lp: LinearProgram) => LinearOutcome): LinearSolver => ({ name, solve })

describe('a solver is believed only when its answer holds', () => {
  test('an honest one is', () => {
    expect(formulate(problem, solverThat('honest', truth)).status).toBe('optimal')
  })

  test.each<[string, (lp: LinearProgram) => LinearOutcome, RegExp]>([
    ['breaks a nutrient limit', (lp) => ({ ...truth(lp), x: [99, 1, 0] }), /limits not kept: nutrient:cp:min by/],
    ['breaks the batch', (lp) => ({ ...truth(lp), x: truth(lp).x.map((value) => value * 1.01) }), /batch by 1/],
    ['gives no number', (lp) => ({ ...truth(lp), x: [Number.NaN, 1, 0] }), /limits not kept/],
    ['names another cost', (lp) => ({ ...truth(lp), objective: 1 }), /where the solver says 1/],
    [
      'proves nothing',
      (lp) => ({ ...truth(lp), rowDuals: lp.rows.map(() => 0), reducedCosts: lp.variables.map(() => 0) }),
      /not proven cheapest/,
    ],
  ])('one that %s is not', (_, solve, reason) => {
    const found = formulate(problem, solverThat('liar', solve))
    expect(found).toMatchObject({ status: 'failed', reason: 'recheck' })
    expect(found.status === 'failed' && found.detail).toMatch(reason)
  })

  test('one that calls a problem infeasible must name a conflict that holds', () => {
    let asked = 0
    const fickle = solverThat('fickle', (lp) => (asked++ === 0 ? { kind: 'infeasible' } : truth(lp)))
    expect(formulate(problem, fickle)).toMatchObject({ status: 'failed', reason: 'recheck' })
  })

  test('one that calls a problem unbounded must show a start and a direction', () => {
    const lost = solverThat('lost', () => ({ kind: 'unbounded' }))
    expect(formulate(problem, lost)).toMatchObject({ status: 'failed', reason: 'recheck' })
    const paid: FormulaProblem = {
      ...problem,
      nutrients: [],
      ratios: [],
      batch: { size: 100, relation: '>=' },
      ingredients: problem.ingredients.map((one) => ({ ...one, cost: -1 })),
    }
    for (const solver of [glpk, highs]) expect(formulate(paid, solver)).toEqual({ status: 'unbounded' })
  })

  test('what it reports of itself is passed on', () => {
    expect(
      formulate(
        problem,
        solverThat('broken', () => ({ kind: 'failed', reason: 'out of memory' })),
      ),
    ).toEqual({ status: 'failed', reason: 'solver-error', detail: 'out of memory' })
  })
})

describe.each([glpk, highs])('$name', (solver) => {
  test('ends rightly where nothing needs solving', () => {
    expect(solver.solve({ variables: [], rows: [] }).kind).toBe('optimal')
    expect(solver.solve({ variables: [{ name: 'x0', cost: 1, lower: 2, upper: 1 }], rows: [] }).kind).toBe('infeasible')
    expect(solver.solve({ variables: [{ name: 'x0', cost: 1, lower: 2, upper: null }], rows: [] })).toMatchObject({
      kind: 'optimal',
      objective: 2,
      x: [2],
    })
    expect(solver.solve({ variables: [{ name: 'x0', cost: -1, lower: 0, upper: null }], rows: [] }).kind).toBe('unbounded')
    expect(solver.solve({ variables: [{ name: 'x0', cost: Number.NaN, lower: 0, upper: null }], rows: [] }).kind).toBe('failed')
  })

  test('minimum above maximum is infeasible and named', () => {
    const crossed: FormulaProblem = { ...problem, ratios: [], nutrients: [{ id: 'cp', min: 20, max: 18, basis: 'concentration' }] }
    expect(formulate(crossed, solver)).toEqual({ status: 'infeasible', conflict: ['nutrient:cp:min', 'nutrient:cp:max'] })
    const box: FormulaProblem = { ingredients: [{ id: 'maize', cost: 1, min: 5, max: 4 }] }
    expect(formulate(box, solver)).toEqual({ status: 'infeasible', conflict: ['ingredient:maize:min', 'ingredient:maize:max'] })
  })

  test('shares of the batch bind as fractions, of a fixed batch and of a free one', () => {
    const fixed: FormulaProblem = {
      inclusionBasis: 'fraction',
      batch: { size: 200, relation: '=' },
      ingredients: [
        { id: 'maize', cost: 30, max: 0.7 },
        { id: 'soya', cost: 60, min: 0.1 },
        { id: 'bran', cost: 40 },
      ],
    }
    expect(formulate(fixed, solver)).toMatchObject({
      status: 'optimal',
      amounts: { maize: 140, soya: 20, bran: 40 },
      binding: ['batch', 'ingredient:maize:max', 'ingredient:soya:min'],
    })
    const free = formulate({ ...fixed, batch: { size: 200, relation: '>=' } }, solver)
    if (free.status !== 'optimal') throw new Error(free.status)
    expect([free.amounts['maize'], free.amounts['soya'], free.amounts['bran']].map((value) => value?.toFixed(6))).toEqual([
      '140.000000',
      '20.000000',
      '40.000000',
    ])
    expect([...free.binding].sort()).toEqual(['batch', 'ingredient:maize:max', 'ingredient:soya:min'])
  })

  test('says at which price an unused ingredient would enter, and it does just below', () => {
    const found = formulate(
      { ...problem, ingredients: [...problem.ingredients, { id: 'cake', cost: 90, nutrients: { cp: 40, ca: 0.2, avp: 0.2 } }] },
      solver,
    )
    const price = found.status === 'optimal' ? (found.breakEvenPrices['cake'] ?? Number.NaN) : Number.NaN
    const amountAt = (cost: number) => {
      const again = formulate(
        { ...problem, ingredients: [...problem.ingredients, { id: 'cake', cost, nutrients: { cp: 40, ca: 0.2, avp: 0.2 } }] },
        solver,
      )
      return again.status === 'optimal' ? again.amounts['cake'] : Number.NaN
    }
    expect(amountAt(price + 0.01)).toBe(0)
    expect(amountAt(price - 0.01)).toBeGreaterThan(0)
  })
})

test('the re-check has its own eyes: a ratio over a denominator of zero does not pass', () => {
  const amounts = [0, 0, 100]
  expect(recheck({ ...problem, nutrients: [] }, amounts).map(({ id }) => id)).toEqual(['ratio:ca-avp:max'])
  expect(recheck(problem, [Number.NaN, 0, 100]).length).toBeGreaterThan(0)
})

test('an unknown content is no zero', () => {
  const missing: FormulaProblem = { ...problem, ingredients: [{ id: 'mystery', cost: 1, nutrients: { cp: 20 } }] }
  expect(formulate(missing, glpk)).toEqual({ status: 'failed', reason: 'unknown-content', detail: 'ca of mystery' })
})
