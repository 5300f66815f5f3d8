import { checkLot, isReleasedFor, type CheckContext } from '#core/safety/check-lot'
import type { Finding } from '#core/safety/finding'
import { isForHens } from '#core/safety/medication'
import type { MixLot } from '#features/lots/lots-for-mix'
import { factsOf } from './check-mix.js'
import { isUndeclared } from './medicated-lots.js'

/** A lot and the check that it does not pass with the results of today. */
export type FailingLot = { readonly lot: MixLot; readonly finding: Finding }
export type Offered = {
  readonly lots: readonly MixLot[]
  /** Lots that are kept from hens because their label says nothing of medicine. */
  readonly undeclared: readonly MixLot[]
  readonly failing: readonly FailingLot[]
  /** Lots that were released for the feed of other stages only. */
  readonly forOthers: readonly MixLot[]
}

// A lot on hold is asked about to see what its release would bring: a test that is still to be made is no reason against it.
const stands = (finding: Finding, { status }: MixLot): boolean =>
  finding.severity === 'block' && (status === 'released' || finding.what.code !== 'required-test-missing')

const failingOf = (lot: MixLot, context: CheckContext): FailingLot[] => {
  const finding = checkLot(factsOf(lot), context).find((candidate) => stands(candidate, lot))
  return finding === undefined ? [] : [{ lot, finding }]
}

/**
 * The lots that may enter a mix for a stage. The safety checks would refuse a mix with any of the others in it, so another lot takes
 * the place, and the answer says which were left out: those that a late test condemns though nobody has rejected them yet, and from
 * hens those that say nothing of medicine, and those that were released for the feed of other stages.
 */
export const offeredTo = (stage: string, inStore: readonly MixLot[], context: CheckContext): Offered => {
  const failing = inStore.flatMap((lot) => failingOf(lot, context))
  const condemned = new Set(failing.map(({ lot }) => lot.id))
  const passing = inStore.filter(({ id }) => !condemned.has(id))
  const sound = passing.filter(({ releasedFor }) => isReleasedFor(releasedFor, stage))
  const forOthers = passing.filter(({ releasedFor }) => !isReleasedFor(releasedFor, stage))
  if (!isForHens(stage, context)) return { lots: sound, undeclared: [], failing, forOthers }
  return { lots: sound.filter((lot) => !isUndeclared(lot)), undeclared: sound.filter(isUndeclared), failing, forOthers }
}
