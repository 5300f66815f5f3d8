import type { MixView } from '#contract/formulas'
import { useAsked, type Pause } from './useAsked'
import type { Limits, Medication, Version } from './versionForm'

export type LotsChoice = 'released' | 'in-store' | 'book'
export type SolveRequest = {
  readonly stage: string
  readonly limits: Limits
  readonly medication: Medication | null
  readonly batchKg: string
  readonly lots: LotsChoice
  readonly prices?: readonly { readonly ingredientId: string; readonly pricePerKg: string }[]
  readonly without?: readonly string[]
}

/** A tonne of this version from the lots that are released now: what approving it would be decided on. */
export const tonneOf = ({ stage, limits, medication }: Version): SolveRequest => ({
  stage,
  limits,
  medication,
  batchKg: '1000',
  lots: 'released',
})

/** A mix is there in less time than the next key takes, so the first key after a rest is answered without waiting for others. */
const WHILE_TYPING: Pause = { afterMs: 150, atOnce: true }

/** The mix of what is asked now, worked out again after every change; the old one stays while a new one is on its way or cannot be asked for. */
export const useSolve = (asked: SolveRequest | null) => {
  const { answer: mix, ...state } = useAsked<MixView>('/solve', asked, WHILE_TYPING)
  return { mix, ...state }
}
