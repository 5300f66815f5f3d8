import type { z } from 'zod'
import type { StockChangeView } from '#contract/stock'
import { fieldError } from '#core/errors'
import { formatKg, grams, type Grams } from '#core/quantity/mass'
import type { Tx } from '#platform/database/client'
import { happenedAt } from '#platform/happened-at'
import { lockLot, type LockedLot } from './lock-lot.js'

type Change = z.output<typeof StockChangeView>
type About = {
  readonly outcome: Change['outcome']
  readonly difference: Grams
  readonly missing?: Grams
  readonly proposalNumber?: number
  readonly discrepancyNumber?: number | null
}

/** The answer of every change of a lot's kilograms, with its balance afterwards. */
export const stockChange = async (tx: Tx, lotId: string, about: About): Promise<Change> => {
  const lot = await lockLot(tx, lotId)
  return {
    outcome: about.outcome,
    lotId,
    lotNumber: lot.number,
    differenceKg: formatKg(about.difference),
    missingKg: formatKg(about.missing ?? grams(0)),
    discrepancyNumber: about.discrepancyNumber ?? null,
    proposalNumber: about.proposalNumber ?? null,
    onHandKg: formatKg(lot.onHand),
    reservedKg: formatKg(lot.reserved),
  }
}

/** When something was done to a lot: not after now, at most a month ago, and not before the lot was delivered. */
export const whenOfLot = (path: string, told: string | null, lot: LockedLot, now: Date): Date => {
  const at = happenedAt(path, told, now)
  if (told !== null && at < lot.receivedAt) {
    const deliveredAt = lot.receivedAt.toISOString()
    throw fieldError('bad-input', path, 'before-delivery', `not before the lot was delivered (${deliveredAt})`, { deliveredAt })
  }
  return at
}
