import type { FormulaProblem, ProblemIngredient, ProblemNutrient } from '#core/formulation/problem'

/** Small and repeatable: mulberry32 (public domain), so that every run draws the same problems. */
export function seededRandom(seed: number): () => number {
  let state = seed >>> 0
  return () => {
    state = (state + 0x6d2b79f5) >>> 0
    let t = Math.imul(state ^ (state >>> 15), 1 | state)
    t = (t + Math.imul(t ^ (t >>> 7), 61 | t)) ^ t
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296
  }
}

/** A unit normal from two uniforms (Box and Muller). */
export const normalFrom = (random: () => number): number => Math.sqrt(-2 * Math.log(1 - random())) * Math.cos(2 * Math.PI * random())

export type Shape = {
  readonly lots: number
  readonly nutrients: number
  readonly certain: number
  readonly z: number
  /** Lots of one ingredient share a book error of this share of the content. */
  readonly sharedPct?: number
}

/**
 * A feed-like problem that has an answer at the mean: lots of a few ingredients whose contents differ a little, limits around what some mix
 * holds, a fixed batch of a tonne. The first nutrients are the certain ones.
 */
export function randomProblem(seed: number, { lots, nutrients, certain, z, sharedPct = 3 }: Shape): FormulaProblem {
  const random = seededRandom(seed)
  const between = (low: number, high: number): number => low + (high - low) * random()
  const kinds = Math.max(2, Math.round(lots / 3))
  const book = Array.from({ length: kinds }, () => ({
    cost: between(15, 120),
    contents: Array.from({ length: nutrients }, () => (random() < 0.25 ? 0 : between(0.05, 45) * (random() < 0.5 ? 0.05 : 1))),
  }))
  const ingredients = Array.from({ length: lots }, (_, i): ProblemIngredient => {
    const kind = i % kinds
    const { cost, contents } = book[kind] ?? { cost: 1, contents: [] }
    const values = contents.map((content) => content * between(0.92, 1.08))
    return {
      id: `lot${i}`,
      cost: cost * between(0.95, 1.05),
      max: between(120, 900),
      nutrients: Object.fromEntries(values.map((value, n) => [`n${n}`, value])),
      spreads: Object.fromEntries(
        values.map((value, n) => [`n${n}`, { own: value * between(0.03, 0.12), shared: { [`book${kind}`]: (value * sharedPct) / 100 } }]),
      ),
    }
  })
  const weights = ingredients.map(() => random() ** 3)
  const total = weights.reduce((sum, weight) => sum + weight, 0)
  const limits = Array.from({ length: nutrients }, (_, n): ProblemNutrient => {
    const held = ingredients.reduce((sum, one, i) => sum + ((one.nutrients?.[`n${n}`] ?? 0) * (weights[i] ?? 0)) / total, 0)
    const asked = n < certain ? { z } : {}
    const side = n < certain || random() < 0.6
    return {
      id: `n${n}`,
      basis: 'concentration',
      ...asked,
      ...(side ? { min: held * between(0.85, 0.95) } : { max: held * between(1.05, 1.2) }),
    }
  })
  return { batch: { size: 1000, relation: '=' }, ingredients, nutrients: limits }
}
