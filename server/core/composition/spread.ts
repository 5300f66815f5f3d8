/**
 * How far a believed content may lie from its mean, as standard deviations in the nutrient's own unit: `own`, what differs from lot to lot
 * independently, and `shared`, what all lots err by together that carry the same key (the same book value, supplier or laboratory).
 */
export type Spread = { readonly own: number; readonly shared?: { readonly [key: string]: number } | undefined }

/** The standard deviation of one lot by itself: own and shared parts are independent, so their squares add. */
export const totalSd = ({ own, shared = {} }: Spread): number => Math.hypot(own, ...Object.values(shared))

export const scaleSpread = ({ own, shared = {} }: Spread, factor: number): Spread => ({
  own: Math.abs(factor) * own,
  shared: Object.fromEntries(Object.entries(shared).map(([key, sd]) => [key, Math.abs(factor) * sd])),
})

/** The spread of a sum of independent errors, key by key. */
export const addSpreads = (...spreads: readonly Spread[]): Spread => {
  const shared: Record<string, number> = {}
  for (const spread of spreads) for (const [key, sd] of Object.entries(spread.shared ?? {})) shared[key] = Math.hypot(shared[key] ?? 0, sd)
  return { own: Math.hypot(...spreads.map(({ own }) => own)), shared }
}

/** The same, but what is shared under one key goes the same way in each (two values of one lot that follow one measurement). */
export const addLinked = (...spreads: readonly Spread[]): Spread => {
  const shared: Record<string, number> = {}
  for (const spread of spreads) for (const [key, sd] of Object.entries(spread.shared ?? {})) shared[key] = (shared[key] ?? 0) + sd
  return { own: Math.hypot(...spreads.map(({ own }) => own)), shared }
}
