import fc from 'fast-check'
import type { FormulaProblem } from '#core/formulation/problem'

/** Figures with two decimals: round enough for ties, which is where solvers differ. */
const figure = (most: number) => fc.integer({ min: 0, max: most * 100 }).map((value) => value / 100)
/** Present once for every `absent` times that it is not. */
const sometimes = <T>(value: fc.Arbitrary<T>, absent: number): fc.Arbitrary<T | undefined> =>
  fc.oneof({ weight: absent, arbitrary: fc.constant(undefined) }, { weight: 1, arbitrary: value })
export const NUTRIENTS = ['energy', 'protein', 'calcium', 'sodium'] as const
const SIZES = { energy: 4000, protein: 60, calcium: 38, sodium: 39 } as const

const ingredient = fc.record({
  cost: figure(100),
  nutrients: fc.record({
    energy: figure(SIZES.energy),
    protein: figure(SIZES.protein),
    calcium: figure(SIZES.calcium),
    sodium: figure(SIZES.sodium),
  }),
  max: sometimes(figure(300), 3),
  min: sometimes(figure(20), 12),
})
const limit = fc.record({ low: sometimes(figure(0.35), 1), high: sometimes(figure(0.9), 2) })
/** Random blends: about half feasible, ties and degenerate ones among them. */
export const aProblem = fc
  .record({
    size: fc.constantFrom(1, 70, 500, 1000),
    relation: fc.constantFrom('=' as const, '=' as const, '>=' as const),
    ingredients: fc.array(ingredient, { minLength: 3, maxLength: 14 }),
    limits: fc.tuple(limit, limit, limit, limit),
    basis: fc.constantFrom('concentration' as const, 'total' as const),
    ratio: sometimes(figure(3), 2),
  })
  .map(({ size, relation, ingredients, limits, basis, ratio }): FormulaProblem => ({
    batch: { size, relation },
    ingredients: ingredients.map((one, i) => ({ id: `i${i}`, ...one })),
    nutrients: NUTRIENTS.map((id, i) => {
      const scale = SIZES[id] * (basis === 'total' ? size : 1)
      const { low, high } = limits[i] ?? {}
      return {
        id,
        basis,
        min: low === undefined ? undefined : low * scale,
        max: high === undefined ? undefined : (low ?? 0) * scale + high * scale,
      }
    }),
    ratios: ratio === undefined ? [] : [{ id: 'ca-na', numerator: { calcium: 1 }, denominator: { sodium: 1 }, max: ratio + 0.5 }],
  }))
