import { MillError } from '#core/errors'
import { formatKg, readKg, sumGrams, type Grams } from '#core/quantity/mass'
import type { MakingKind } from '#core/stock/derived-lot'
import type { Tx } from '#platform/database/client'

/** The accounts of the stock ledger: a lot's free and reserved kilograms, a batch in the mixer, its bags, and the counter-accounts. */
export const ACCOUNTS = ['supplier', 'lot-free', 'lot-reserved', 'making', 'bag', 'member', 'loss', 'unexplained'] as const
export type Account = (typeof ACCOUNTS)[number]
export type TransferKind =
  'receipt' | 'reservation' | 'release' | 'issue' | 'making' | 'delivery' | 'return' | 'count' | 'write-off' | 'reversal' | MakingKind

export type Line = { readonly lotId: string; readonly kg: string }
export type Entry = {
  readonly account: Account
  readonly lotId?: string
  readonly batchId?: string
  readonly supplierId?: string
  readonly memberId?: string
  readonly grams: Grams
}
/** What every movement says about itself: its id, when it happened (not when it was entered) and who did it. */
export type Movement = { readonly id: string; readonly happenedAt: Date; readonly actorId: string; readonly reason?: string }
export type Transfer = Movement & {
  readonly kind: TransferKind
  readonly orderId?: string
  readonly batchId?: string
  readonly reversesId?: string
  readonly entries: readonly Entry[]
}

/** Kilograms of a line as exact grams, "82", "82.5" and "82.000" alike. */
export const gramsOf = (kg: string): Grams => {
  const mass = readKg(kg)
  if (mass === null) throw new MillError('bad-input', { kilograms: kg })
  return mass
}

/** One line a lot, in ascending id: every transaction then locks lots in the same order and none waits for another in a ring. */
export const byLot = (lines: readonly Line[]): { readonly lotId: string; readonly grams: Grams }[] => {
  const sums = new Map<string, Grams>()
  for (const { lotId, kg } of lines) sums.set(lotId, sumGrams([sums.get(lotId) ?? gramsOf('0'), gramsOf(kg)]))
  return [...sums]
    .filter(([, mass]) => mass > 0)
    .sort(([a], [b]) => (a < b ? -1 : 1))
    .map(([lotId, mass]) => ({ lotId, grams: mass }))
}

/** Writes one movement. Entries of nothing are left out; the rest must sum to zero, which the database checks again at COMMIT. */
export const postTransfer = async (tx: Tx, { entries, ...transfer }: Transfer): Promise<void> => {
  const moved = entries.filter(({ grams }) => grams !== 0)
  if (moved.length === 0) return
  const sum = sumGrams(moved.map(({ grams }) => grams))
  if (sum !== 0) throw new Error(`A ${transfer.kind} would leave the books unbalanced by ${formatKg(sum)} kg`)
  await tx.stockTransfer.create({ data: transfer, select: { id: true } })
  await tx.stockEntry.createMany({ data: moved.map(({ grams, ...entry }) => ({ ...entry, transferId: transfer.id, kg: formatKg(grams) })) })
}
