import type { FindingView } from '#contract/findings'
import { formatKg, grams, type Grams } from '#core/quantity/mass'
import type { Line } from '#features/stock/ledger'
import type { CommandContext } from '#platform/command'
import type { LockedBatch } from './lock-batch.js'
import { openDiscrepancy, type DiscrepancyKind } from './open-discrepancy.js'

/**
 * Made and weighed in differ by dust, moisture and what stays in the mixer: over 2 % the manager is told, over 5 % something was
 * forgotten or came twice and the load is held until the manager has looked. Common practice, no source.
 */
const TELL_PCT = 2
const HOLD_PCT = 5

export type FinishedLoad = {
  readonly inMass: Grams
  readonly made: Grams
  readonly unexplained: readonly Line[]
  readonly brokenLimits: readonly string[]
  readonly findings: readonly FindingView[]
}

/** Opens what has to be explained about a finished load, and gives the kinds for which it goes on hold. */
export const reasonsToHold = async (ctx: CommandContext, batch: LockedBatch, load: FinishedLoad): Promise<DiscrepancyKind[]> => {
  const about = { batchId: batch.id, orderId: batch.orderId }
  const batchNumber = batch.number
  const reasons: DiscrepancyKind[] = []
  for (const { lotId, kg } of load.unexplained) await openDiscrepancy(ctx, 'more-than-in-store', { ...about, lotId }, { batchNumber, kg })

  const differencePct = load.inMass === 0 ? 100 : (100 * Math.abs(load.made - load.inMass)) / load.inMass
  if (differencePct > TELL_PCT) {
    const differenceKg = formatKg(grams(load.made - load.inMass))
    await openDiscrepancy(ctx, 'made-differs', about, {
      batchNumber,
      inKg: formatKg(load.inMass),
      madeKg: formatKg(load.made),
      differenceKg,
    })
    if (differencePct > HOLD_PCT) reasons.push('made-differs')
  }
  if (load.brokenLimits.length > 0) {
    await openDiscrepancy(ctx, 'limit-broken', about, { batchNumber, limits: load.brokenLimits.join(', ') })
    reasons.push('limit-broken')
  }
  const blocks = load.findings.filter(({ severity }) => severity === 'block')
  if (blocks.length > 0) {
    await openDiscrepancy(ctx, 'safety-broken', about, { batchNumber, rules: blocks.map(({ ruleId }) => ruleId).join(', ') })
    reasons.push('safety-broken')
  }
  return reasons
}
