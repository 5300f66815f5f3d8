import { ById } from '#contract/lists'
import { BatchDetailView, FinishBatchBody } from '#contract/production'
import { MillError } from '#core/errors'
import { formatKg, grams, parseKg, readKg, sumGrams, type Grams } from '#core/quantity/mass'
import { loadMill } from '#features/requirements/mill'
import { issueToBatch, makeBags } from '#features/stock/ledger'
import { command, type CommandContext } from '#platform/command'
import { addDays, dateOf, dayAt } from '#platform/mill-day'
import { findingsOf, wholeBatch } from './batch-view.js'
import { asJson } from './begin-batch.js'
import { happenedAt } from './happened-at.js'
import { loadJudge, type WeighedLots } from './judge-load.js'
import { lockBatch, requireRevision, type LockedBatch } from './lock-batch.js'
import { reasonsToHold } from './reasons-to-hold.js'
import { settleOrder } from './settle-order.js'
import { requireWeighable, weighLine, type Corrected } from './weigh-line.js'

/** Finished mash keeps 4 to 8 weeks, dry and off the floor (STO-01 of the mill practice table, textbook, from memory): the short end. */
const KEEPS_DAYS = 28

type Line = LockedBatch['lines'][number]
type Weighed = Line & { readonly actualKg: NonNullable<Line['actualKg']> }
const mass = (value: { toFixed(places: number): string }): Grams => parseKg(value.toFixed(3))

/** Every row must have been weighed; each that was not is named. */
const requireWeights = (lines: readonly Line[]): Weighed[] => {
  const weighed = lines.filter((line): line is Weighed => line.actualKg !== null)
  const missing = lines.filter(({ actualKg }) => actualKg === null)
  if (missing.length === 0) return weighed
  throw new MillError(
    'bad-input',
    { missing: missing.map(({ part, position }) => ({ part, position })) },
    missing.map(({ part, position }) => ({
      path: `weights.${part}.${position}`,
      code: 'missing',
      message: `row ${position} has no weight yet`,
    })),
  )
}

const lotsOf = (lines: readonly Weighed[]): WeighedLots => {
  const lots = new Map<string, Grams>()
  for (const { lotId, actualKg } of lines) {
    if (lotId !== null) lots.set(lotId, sumGrams([lots.get(lotId) ?? grams(0), mass(actualKg)]))
  }
  return lots
}

type Booking = {
  readonly batch: LockedBatch
  readonly lines: readonly Weighed[]
  readonly inKg: string
  readonly madeKg: string
  readonly at: Date
}

const book = async ({ tx, actor, newId }: CommandContext, { batch, lines, inKg, madeKg, at }: Booking) => {
  const about = { orderId: batch.orderId, batchId: batch.id, happenedAt: at, actorId: actor.userId }
  const issued = lines.flatMap(({ lotId, targetKg, actualKg }) =>
    lotId === null ? [] : [{ lotId, reservedKg: targetKg.toFixed(3), actualKg: actualKg.toFixed(3) }],
  )
  const { unexplained } = await issueToBatch(tx, { ...about, id: newId(), lines: issued })
  await makeBags(tx, { ...about, id: newId(), inKg, madeKg })
  return unexplained
}

/**
 * The load is mixed and bagged. What was weighed leaves the lots, what was bagged is stock; a load that is far from its books, its limits
 * or its safety checks is on hold with a discrepancy, everything else is done, and with the last load the order is ready.
 */
export const finishBatch = command({
  roles: ['mixer-operator', 'manager'],
  params: ById,
  input: FinishBatchBody,
  ifMatch: true,
  output: BatchDetailView,
  prepare: async ({ db, now }, { id }) => loadJudge(db, id, now),
  async run(ctx, input, judge) {
    const { tx, actor, now, record } = ctx
    const { id } = input
    const at = happenedAt('finishedAt', input.finishedAt, now)
    const locked = await lockBatch(tx, id)
    requireRevision(locked, input.revision)
    await requireWeighable(ctx, locked, at)
    const corrected: Corrected[] = []
    for (const [i, weight] of input.weights.entries()) {
      const one = await weighLine(ctx, locked, { ...weight, weighedAt: at }, `weights.${i}.position`)
      if (one !== null) corrected.push(one)
    }
    const batch = await lockBatch(tx, id)
    const lines = requireWeights(batch.lines)
    const weighed = lotsOf(lines)
    const inMass = sumGrams(weighed.values())
    const made = readKg(input.madeKg) ?? grams(0)
    const unexplained = await book(ctx, { batch, lines, inKg: formatKg(inMass), madeKg: formatKg(made), at })
    const { brokenLimits, findings } = judge(weighed)
    const reasons = await reasonsToHold(ctx, batch, { inMass, made, unexplained, brokenLimits, findings })
    // A load that the manager held while it was weighed stays held; its facts are booked all the same.
    const held = batch.status === 'on-hold'
    const { timeZone } = await loadMill(tx)
    await tx.batch.update({
      where: { id },
      data: {
        status: held || reasons.length > 0 ? 'on-hold' : 'done',
        ...(reasons.length > 0 && { statusReason: reasons.join(', ') }),
        finishedAt: at,
        finishedBy: actor.userId,
        madeKg: formatKg(made),
        bestBefore: dateOf(addDays(dayAt(at, timeZone), KEEPS_DAYS)),
        findings: asJson([...findingsOf(batch.findings), ...findings.filter(({ severity }) => severity === 'block')]),
        revision: { increment: 1 },
      },
    })
    record('batch.finished', 'batch', id, { number: batch.number, inKg: formatKg(inMass), madeKg: formatKg(made), onHoldFor: reasons })
    await settleOrder(ctx, batch.orderId)
    return wholeBatch(tx, id, corrected)
  },
})
