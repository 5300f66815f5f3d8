import { expect, test } from 'vitest'
import { explain } from '#core/formulation/explain'
import { formulate } from '#core/formulation/formulate'
import type { FormulaProblem } from '#core/formulation/problem'
import { createGlpkSolver } from '#platform/solver/glpk'
import { createHighsSolver } from '#platform/solver/highs'

const [glpk, highs] = [await createGlpkSolver(), await createHighsSolver()]

/** Two lots of soya that have one price, two feeds beside them; figures are invented, HiGHS says what is right. */
const problem = (soya: number): FormulaProblem => ({
  batch: { size: 100, relation: '=' },
  ingredients: [
    { id: 'soya 1', cost: soya, max: 10, nutrients: { CP: 46 } },
    { id: 'soya 2', cost: soya, nutrients: { CP: 43 } },
    { id: 'maize', cost: 40, nutrients: { CP: 8 } },
    { id: 'sunflower', cost: 60, max: 50, nutrients: { CP: 28 } },
  ],
  nutrients: [{ id: 'CP', min: 18, basis: 'concentration' }],
})
const priceOf = { 'soya 1': 'soya', 'soya 2': 'soya' }
const soyaIn = (price: number): number => {
  const found = formulate(problem(price), highs)
  if (found.status !== 'optimal') throw new Error(found.status)
  return (found.amounts['soya 1'] ?? 0) + (found.amounts['soya 2'] ?? 0)
}

test.each([80, 95, 140])(
  'lots of one price are told once, and their amount stays just inside the range and moves just outside: today %d',
  (today) => {
    const found = formulate(problem(today), glpk)
    const told = explain(problem(today), found, glpk, { priceOf })
    if (told.kind !== 'optimal') throw new Error(told.kind)
    expect(told.complete).toBe(true)
    expect(told.ingredients.map(({ ingredientId }) => ingredientId)).toEqual(['soya', 'maize', 'sunflower'])
    const soya = told.ingredients.find(({ ingredientId }) => ingredientId === 'soya')
    if (soya === undefined) throw new Error('no soya')
    expect(soya.price).toBe(today)
    const ends = soya.used ? [soya.stays?.from, soya.stays?.to] : [soya.breakEven]
    const amount = soyaIn(today)
    let seen = 0
    for (const end of ends) {
      if (end === null || end === undefined) continue
      seen += 1
      const inside = end < today ? 1 : -1
      expect(soyaIn(end + inside * 0.01)).toBeCloseTo(amount, 6)
      expect(Math.abs(soyaIn(end - inside * 0.01) - amount)).toBeGreaterThan(0.1)
    }
    expect(seen).toBeGreaterThan(0)
  },
)
