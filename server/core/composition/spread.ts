/**
 * How far a believed content may lie from its mean, as standard deviations in the nutrient's own unit: `own`, what differs from lot to lot
 * independently, and `shared`, what all lots err by together that carry the same key (the same book value, supplier or laboratory).
 */
export type Spread = { readonly own: number; readonly shared?: { readonly [key: string]: number } | undefined }

type Shared = { readonly [key: string]: number }
const NONE: Shared = {}

/** The standard deviation of one lot by itself: own and shared parts are independent, so their squares add. */
export const totalSd = ({ own, shared = NONE }: Spread): number => {
  let variance = own * own
  for (const key in shared) variance += (shared[key] ?? 0) ** 2
  return Math.sqrt(variance)
}

export const scaleSpread = ({ own, shared = NONE }: Spread, factor: number): Spread => {
  const by = Math.abs(factor)
  const scaled: Record<string, number> = {}
  for (const key in shared) scaled[key] = by * (shared[key] ?? 0)
  return { own: by * own, shared: scaled }
}

const combine = (spreads: readonly Spread[], add: (a: number, b: number) => number): Spread => {
  let variance = 0
  const all: Record<string, number> = {}
  for (const { own, shared = NONE } of spreads) {
    variance += own * own
    for (const key in shared) all[key] = add(all[key] ?? 0, shared[key] ?? 0)
  }
  return { own: Math.sqrt(variance), shared: all }
}

/** The spread of a sum of independent errors, key by key. */
export const addSpreads = (...spreads: readonly Spread[]): Spread => combine(spreads, (a, b) => Math.sqrt(a * a + b * b))

/** The same, but what is shared under one key goes the same way in each (two values of one lot that follow one measurement). */
export const addLinked = (...spreads: readonly Spread[]): Spread => combine(spreads, (a, b) => a + b)
