import type { FindingView } from '#contract/findings'
import type { FlockFacts } from '#core/safety/birds'
import { checkMix } from '#core/safety/check-mix'
import type { LotFacts } from '#core/safety/facts'
import { loadWorstCases } from '#features/ingredients/book'
import { loadCheckContext } from '#features/lots/lot-safety'
import type { MixLot } from '#features/lots/lots-for-mix'
import type { Db, Tx } from '#platform/database/client'
import type { Medication } from './medicated-lots.js'

export type Feed = { readonly stage: string; readonly medication: Medication | null; readonly flock?: FlockFacts | undefined }
export type Amounts = { readonly lots: readonly MixLot[]; readonly kg: ReadonlyMap<string, number>; readonly now: Date }

export const factsOf = (lot: MixLot): LotFacts => ({
  name: String(lot.number),
  status: lot.status,
  expiresOn: lot.expiresOn,
  medicationDeclared: lot.medicationDeclared,
  medication: lot.medication,
  composition: lot.composition,
})

/** What the safety checks say of kilograms of lots as a feed, solved or weighed, worst first. */
export const checkAmounts = async (db: Db | Tx, { stage, medication, flock }: Feed, { lots, kg, now }: Amounts): Promise<FindingView[]> => {
  // One after the other: this also runs inside a transaction, which has one connection.
  const context = await loadCheckContext(db, now)
  const worst = await loadWorstCases(db)
  const mix = lots.map((lot) => ({ lot: factsOf(lot), kg: kg.get(lot.id) ?? 0 }))
  return checkMix({ stage, medication: medication === null ? [] : [medication], mix, flock }, { ...context, worst })
}
