import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { answerStated } from '#core/formulation/stated-problem'
import { recheckModel, statementOfModel, type LinearModel } from '#core/formulation/linear-model'
import { cellId, recheckMulti, type MultiProblem } from '#core/formulation/multi'
import { solveStatement } from '#core/formulation/solve-statement'
import { createGlpkSolver } from '#platform/solver/glpk'
import { createHighsSolver } from '#platform/solver/highs'

const solvers = [await createGlpkSolver(), await createHighsSolver()]

/** Two feeds from three ingredients, small enough to solve by hand. */
const feeds: MultiProblem = {
  ingredients: [
    { id: 'maize', cost: 30, nutrients: { cp: 8 }, stock: 120 },
    { id: 'soya', cost: 60, nutrients: { cp: 44 }, costByProduct: { chick: 55 } },
    { id: 'bran', cost: 20, nutrients: { cp: 14 } },
  ],
  products: [
    {
      id: 'chick',
      batch: { size: 100, relation: '=' },
      nutrients: [{ id: 'cp', min: 20, basis: 'concentration' }],
      ingredientLimits: { bran: { max: 0 } },
      processCost: 2,
    },
    { id: 'hen', batch: { size: 100, relation: '=' }, nutrients: [{ id: 'cp', min: 17, basis: 'concentration' }] },
  ],
}

describe('several products', () => {
  test.each(solvers)('share stock, have costs and limits of their own, and cost what the hand finds ($name)', (solver) => {
    const found = answerStated({ kind: 'multi', problem: feeds }, solver)
    if (found.status !== 'optimal') throw new Error(JSON.stringify(found))
    // chick: 8 m + 44 s = 2000 with m + s = 100: s = 1200/36; hen: soya and bran alone (bran is the cheaper way to any protein below 44): s = 300/30
    const [s, t] = [1200 / 36, 300 / 30]
    expect(found.objective).toBeCloseTo((100 - s) * 32 + s * 57 + (100 - t) * 20 + t * 60, 6)
    expect(found.amounts['soya@chick']).toBeCloseTo(s, 6)
    expect(found.binding).toEqual(['batch@chick', 'nutrient:cp@chick:min', 'batch@hen', 'nutrient:cp@hen:min', 'ingredient:bran@chick:max'])
    expect(found.breakEvenPrices['maize@hen']).toBeLessThan(30)
  })

  test.each(solvers)('name what they cannot share, with the product ($name)', (solver) => {
    const stocks: Readonly<Record<string, number>> = { maize: 40, soya: 50 }
    const short: MultiProblem = { ...feeds, ingredients: feeds.ingredients.map((one) => ({ ...one, stock: stocks[one.id] })) }
    const found = answerStated({ kind: 'multi', problem: short }, solver)
    expect(found).toMatchObject({ status: 'infeasible' })
    expect(found.status === 'infeasible' && found.conflict).toEqual([
      'batch@chick',
      'stock:maize',
      'stock:soya',
      'ingredient:bran@chick:max',
    ])
  })

  test.each(solvers)('hold totals, rows over products, rules within one and across ($name)', (solver) => {
    const ruled: MultiProblem = {
      ...feeds,
      products: feeds.products.map((product) => ({ ...product, ingredientLimits: undefined })),
      totals: [{ id: 'bran', max: 60, ingredients: ['bran'] }],
      linear: [{ id: 'even', coefs: { 'soya@chick': 1, 'soya@hen': -1 }, min: 15 }],
      logic: [{ id: 'once', type: 'atMost', k: 1, items: ['bran@chick', 'bran@hen'] }],
    }
    const found = answerStated({ kind: 'multi', problem: ruled }, solver)
    if (found.status !== 'optimal') throw new Error(JSON.stringify(found))
    const amounts = Object.values(found.amounts)
    expect(recheckMulti(ruled, amounts)).toEqual([])
    expect(found.search?.proven).toBe(true)
    expect(Math.min(found.amounts['bran@chick'] ?? 1, found.amounts['bran@hen'] ?? 1)).toBe(0)
    expect(recheckMulti(ruled, [0, 20, 80, 0, 20, 80]).map(({ id }) => id)).toEqual(['total:bran', 'linear:even', 'logic:once'])
  })
})

describe('names joined by @', () => {
  // by plain joining a@b in c and a in b@c would both be a@b@c, and the row linear:r@c both the product's and the shared one
  const named: MultiProblem = {
    ingredients: [
      { id: 'a@b', cost: 1 },
      { id: 'a', cost: 2 },
    ],
    products: [
      { id: 'c', batch: { size: 10, relation: '=' }, linear: [{ id: 'r', coefs: { 'a@b': 1 }, max: 4 }] },
      { id: 'b@c', batch: { size: 20, relation: '=' } },
    ],
    linear: [{ id: 'r@c', coefs: { 'a\\@b@b\\@c': 1 }, max: 15 }],
  }
  test.each(solvers)('never fall together ($name)', (solver) => {
    const found = answerStated({ kind: 'multi', problem: named }, solver)
    // by hand: 4 of the cheap one in c, 15 in b@c, the dear one for the rest
    expect(found).toMatchObject({
      status: 'optimal',
      objective: 19 + 2 * 11,
      amounts: { 'a\\@b@c': 4, 'a@c': 6, 'a\\@b@b\\@c': 15, 'a@b\\@c': 5 },
      shadowPrices: { 'linear:r@c': -1, 'linear:r\\@c': -1 },
    })
  })

  test('differ for different pairs, whatever the names', () => {
    const names = fc.string({ unit: fc.constantFrom('@', '\\', 'a'), maxLength: 4 })
    const pair = fc.tuple(names, names)
    fc.assert(
      fc.property(pair, pair, (one, other) => {
        fc.pre(one[0] !== other[0] || one[1] !== other[1])
        expect(cellId(...one)).not.toBe(cellId(...other))
      }),
      { numRuns: 2000 },
    )
  })
})

describe('a linear model', () => {
  const plan: LinearModel = {
    sense: 'max',
    offset: 100,
    vars: [
      { id: 'a', cost: 3, lo: 0, hi: 4, type: 'I' },
      { id: 'b', cost: 2, lo: null, hi: null },
      { id: 'c', cost: 1, type: 'B' },
    ],
    rows: [
      { id: 'sum', coefs: { a: 2, b: 1, c: 1 }, lo: null, hi: 7.5 },
      { id: 'gap', coefs: { a: 1, b: -1 }, lo: -2, hi: 2 },
    ],
  }
  test.each(solvers)('maximises, with whole, binary and free variables and a constant ($name)', (solver) => {
    // by hand: b <= 7.5 - 2a - c and a - 2 <= b <= a + 2: a = 2, c = 0 gives b = 3.5, 6 + 7 + 100; a = 1, c = 1 gives 3 + 6 + 1; a = 2, c = 1 gives 6 + 5 + 1
    const found = solveStatement(statementOfModel(plan), solver)
    expect(found).toMatchObject({ status: 'optimal', amounts: { a: 2, c: 0 } })
    if (found.status !== 'optimal') return
    expect(found.objective).toBeCloseTo(113, 6)
    expect(found.search?.bound).toBeGreaterThanOrEqual(found.objective - 1e-6)
  })

  test('tells prices of what it maximises with their sign, and its faults one by one', () => {
    const relaxed: LinearModel = {
      ...plan,
      vars: plan.vars.map(({ type: _type, ...one }) => ({ ...one, lo: one.lo ?? 0, hi: one.hi ?? 1 })),
    }
    const found = solveStatement(statementOfModel(relaxed), solvers[0] ?? { name: '', solve: () => ({ kind: 'infeasible' }) })
    // b = 1 at its end, a = 3 by the gap, c = 0.5 by the sum: one more of the sum is one more of c
    expect(found.status === 'optimal' && found.shadowPrices['sum']).toBeCloseTo(1, 6)
    expect(recheckModel(plan, [4.5, 10, 0.5]).map(({ id }) => id)).toEqual(['sum', 'gap', 'ingredient:a', 'integer:a', 'integer:c'])
  })

  test('whose rows are named like bounds keeps every id apart', () => {
    const rows = ['ingredient:a:max', '\\ingredient:a:max', 'integer:a', 'sum'].map((id) => ({ id, coefs: { a: 1 }, hi: 9 }))
    const { limits } = statementOfModel({ vars: [{ id: 'a', cost: 1, hi: 5, type: 'I' }], rows })
    const ids = [...limits.rows, ...limits.bounds, ...(limits.choices ?? [])].map(({ id }) => id)
    expect(new Set(ids).size).toBe(ids.length)
    expect(ids).toContain('sum')
    // the row and the bound of one name: only the row conflicts with the least
    const clash: LinearModel = { vars: [{ id: 'a', cost: 1, lo: 2, hi: 5 }], rows: [{ id: 'ingredient:a:max', coefs: { a: 1 }, hi: 1 }] }
    const found = solveStatement(statementOfModel(clash), solvers[0] ?? { name: '', solve: () => ({ kind: 'infeasible' }) })
    expect(found).toEqual({ status: 'infeasible', conflict: ['\\ingredient:a:max', 'ingredient:a:min'] })
  })

  test('is judged with whole numbers truly whole: a switch on by a millionth opens nothing', () => {
    const switched: LinearModel = {
      vars: [
        { id: 'x', cost: 1 },
        { id: 'y', cost: 5, type: 'B' },
      ],
      rows: [{ id: 'open', coefs: { x: 1, y: -1e6 }, hi: 0 }],
    }
    expect(recheckModel(switched, [0.5, 5e-7])).toEqual([{ id: 'open', by: 0.5 }])
    expect(recheckModel(switched, [0.5, 1])).toEqual([])
  })
})
