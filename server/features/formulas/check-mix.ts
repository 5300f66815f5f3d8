import type { FindingView } from '#contract/findings'
import type { FlockFacts } from '#core/safety/birds'
import type { WorstCases } from '#core/composition/book'
import type { CheckContext } from '#core/safety/check-lot'
import { checkMix } from '#core/safety/check-mix'
import type { LotFacts } from '#core/safety/facts'
import { loadWorstCases } from '#features/ingredients/book'
import { loadCheckContext } from '#features/lots/lot-safety'
import type { MixLot } from '#features/lots/lots-for-mix'
import type { Db, Tx } from '#platform/database/client'
import type { Medication } from './medicated-lots.js'

export type Feed = { readonly stage: string; readonly medication: Medication | null; readonly flock?: FlockFacts | undefined }
/** What the checks compare with, where the caller has read it already. */
export type Known = { readonly context: CheckContext; readonly worst: WorstCases }
export type Amounts = { readonly lots: readonly MixLot[]; readonly kg: ReadonlyMap<string, number>; readonly now: Date }

export const factsOf = (lot: MixLot): LotFacts => ({
  name: String(lot.number),
  status: lot.status,
  expiresOn: lot.expiresOn,
  retestOn: lot.retestOn,
  releasedFor: lot.releasedFor,
  medicationDeclared: lot.medicationDeclared,
  medication: lot.medication,
  composition: lot.composition,
})

/** What the safety checks say of kilograms of lots as a feed, solved or weighed, worst first. */
export const checkAmounts = async (db: Db | Tx, feed: Feed, amounts: Amounts): Promise<FindingView[]> =>
  // One after the other: this also runs inside a transaction, which has one connection.
  checkKnown({ context: await loadCheckContext(db, amounts.now), worst: await loadWorstCases(db) }, feed, amounts)

/** The same with tables that were read before. */
export const checkKnown = ({ context, worst }: Known, { stage, medication, flock }: Feed, { lots, kg }: Amounts): FindingView[] => {
  const mix = lots.map((lot) => ({ lot: factsOf(lot), kg: kg.get(lot.id) ?? 0 }))
  return checkMix({ stage, medication: medication === null ? [] : [medication], mix, flock }, { ...context, worst })
}
