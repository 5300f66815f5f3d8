/**
 * How far a believed content may lie from its mean, as standard deviations in the nutrient's own unit: `own`, what differs from lot to lot
 * independently, and `shared`, what all lots err by together that carry the same key (the same book value, supplier or laboratory).
 */
export type Spread = { readonly own: number; readonly shared?: { readonly [key: string]: number } | undefined }

/** The standard deviation of one lot by itself: own and shared parts are independent, so their squares add. */
export const totalSd = ({ own, shared = {} }: Spread): number => Math.hypot(own, ...Object.values(shared))
