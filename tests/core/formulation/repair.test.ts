import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import type { FormulaProblem } from '#core/formulation/problem'
import { limitsOf, programOf } from '#core/formulation/program'
import { recheck } from '#core/formulation/recheck'
import { cheapestPurchase, type Offer } from '#core/formulation/repair'
import { createGlpkSolver } from '#platform/solver/glpk'
import { createHighsSolver } from '#platform/solver/highs'

const glpk = await createGlpkSolver()
const highs = await createHighsSolver()

/** 100 kg with 20 % protein from 8 % bran in store, soya of 45 % and fish of 60 % on offer. */
const short = (soyaMax?: number): FormulaProblem => ({
  batch: { size: 100, relation: '=' },
  ingredients: [
    { id: 'bran', cost: 20, nutrients: { CP: 8 } },
    { id: 'soya', cost: 70, nutrients: { CP: 45 }, max: soyaMax },
    { id: 'fish', cost: 110, nutrients: { CP: 60 } },
  ],
  nutrients: [{ id: 'CP', min: 20, basis: 'concentration' }],
})
const offers: readonly Offer[] = [{ ingredientId: 'soya' }, { ingredientId: 'fish' }]

describe('the cheapest purchase', () => {
  test('by weight, by hand: 12 x 100 / 37 kg of soya at 70', () => {
    const found = cheapestPurchase(short(), offers, glpk)
    if (found.kind !== 'purchase') throw new Error(found.reason)
    expect(found.purchases.map((one) => one.ingredientId)).toEqual(['soya'])
    expect(found.purchases[0]?.kg).toBeCloseTo(1200 / 37, 9)
    expect(found.cost).toBeCloseTo((1200 / 37) * 70, 7)
    expect(recheck(short(), Object.values(found.amounts))).toEqual([])
  })

  test('with too little soya to be had takes fish for the rest, by hand', () => {
    const found = cheapestPurchase(short(20), offers, glpk)
    if (found.kind !== 'purchase') throw new Error(found.reason)
    // 20 kg of soya bring 7.4 of the 12 points; fish brings 0.52 a kg
    expect(found.purchases.map((one) => [one.ingredientId, Number(one.kg.toFixed(9))])).toEqual([
      ['soya', 20],
      ['fish', Number((4.6 / 0.52).toFixed(9))],
    ])
  })

  test('in packs buys whole ones, by hand: two sacks of soya rather than one of each', () => {
    const found = cheapestPurchase(
      short(),
      [
        { ingredientId: 'soya', packKg: 25 },
        { ingredientId: 'fish', packKg: 30 },
      ],
      highs,
    )
    if (found.kind !== 'purchase') throw new Error(found.reason)
    // soya 2 x 25 x 70 = 3,500; fish 1 x 30 x 110 = 3,300 brings 15.6 points and is enough alone
    expect(found.purchases).toEqual([{ ingredientId: 'fish', kg: 30, packs: 1, cost: 3300 }])
    expect(found.proven).toBe(true)
  })

  test('is nothing with its reason where no offer helps, and buys nothing where nothing is needed', () => {
    const hopeless = { ...short(), nutrients: [{ id: 'CP', min: 61, basis: 'concentration' as const }] }
    expect(cheapestPurchase(hopeless, offers, glpk)).toEqual({
      kind: 'none',
      reason: 'not-enough',
      conflict: ['batch', 'nutrient:CP:min'],
    })
    const easy = { ...short(), nutrients: [{ id: 'CP', min: 7, basis: 'concentration' as const }] }
    const found = cheapestPurchase(easy, offers, glpk)
    expect(found).toMatchObject({ kind: 'purchase', purchases: [], cost: 0 })
    if (found.kind === 'purchase') expect(found.mixCost).toBeCloseTo(2000, 7)
  })

  const figure = (most: number) => fc.integer({ min: 1, max: most })
  const aShortage = fc.record({
    store: fc.array(fc.record({ cost: figure(40), cp: figure(15), cf: figure(12) }), { minLength: 1, maxLength: 3 }),
    offered: fc.array(
      fc.record({
        cost: figure(150),
        cp: figure(70),
        cf: figure(10),
        pack: fc.constantFrom(10, 25, 50),
        most: fc.constantFrom(25, 50, 100),
      }),
      {
        minLength: 1,
        maxLength: 3,
      },
    ),
    protein: figure(30),
    fibre: fc.integer({ min: 3, max: 12 }),
  })

  test('in packs costs what trying every number of packs finds', { timeout: 60_000 }, () => {
    const seen = { purchase: 0, none: 0 }
    fc.assert(
      fc.property(aShortage, ({ store, offered, protein, fibre }) => {
        const problem: FormulaProblem = {
          batch: { size: 100, relation: '=' },
          ingredients: [
            ...store.map(({ cost, cp, cf }, i) => ({ id: `s${i}`, cost, nutrients: { CP: cp, CF: cf } })),
            ...offered.map(({ cost, cp, cf, most }, i) => ({ id: `o${i}`, cost, nutrients: { CP: cp, CF: cf }, max: most })),
          ],
          nutrients: [
            { id: 'CP', min: protein, basis: 'concentration' },
            { id: 'CF', max: fibre, basis: 'concentration' },
          ],
        }
        const holds = (packs: readonly number[]) => {
          const ingredients = problem.ingredients.map((one, i) => {
            const at = i - store.length
            return at < 0 ? one : { ...one, max: (packs[at] ?? 0) * (offered[at]?.pack ?? 0) }
          })
          return glpk.solve(programOf(limitsOf({ ...problem, ingredients }), { cost: false })).kind === 'optimal'
        }
        let tries: number[][] = [[]]
        for (const { pack, most } of offered)
          tries = tries.flatMap((so) => Array.from({ length: Math.floor(most / pack) + 1 }, (_, n) => [...so, n]))
        const costOf = (packs: readonly number[]) =>
          packs.reduce((sum, n, i) => sum + n * (offered[i]?.pack ?? 0) * (offered[i]?.cost ?? 0), 0)
        const best = [...tries].sort((a, b) => costOf(a) - costOf(b)).find(holds)
        const found = cheapestPurchase(
          problem,
          offered.map(({ pack }, i) => ({ ingredientId: `o${i}`, packKg: pack })),
          highs,
        )
        seen[found.kind] += 1
        if (best === undefined) expect(found).toMatchObject({ kind: 'none', reason: 'not-enough' })
        else expect(found.kind === 'purchase' ? found.cost : Number.NaN).toBeCloseTo(costOf(best), 6)
      }),
      { seed: 20261125, numRuns: 150 },
    )
    expect(seen.purchase).toBeGreaterThan(40)
    expect(seen.none).toBeGreaterThan(20)
  })
})
