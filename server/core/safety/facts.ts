import type { LotComposition } from '../composition/compose-lot.js'

export type LotStatus = 'on-hold' | 'released' | 'rejected' | 'used-up'

/** A medicine in a bought product: per cent of the active in it. */
export type LotMedication = { readonly active: string; readonly strengthPct: number }
/** A medicine in a feed. */
export type FeedMedication = { readonly active: string; readonly mgPerKg: number }

/** What the checks need to know of a lot. Dates are YYYY-MM-DD. */
export type LotFacts = {
  /** Its number or code, as people call it. */
  readonly name: string
  readonly status: LotStatus
  readonly expiresOn: string | null
  /** The last day on which it may be used without a new result. */
  readonly retestOn?: string | null | undefined
  /** Stages whose feed it may enter; missing or empty: every feed. */
  readonly releasedFor?: readonly string[] | undefined
  /** The label was read: it says which medicine is in it, or that there is none. */
  readonly medicationDeclared: boolean
  readonly medication: LotMedication | null
  readonly composition: LotComposition
}
