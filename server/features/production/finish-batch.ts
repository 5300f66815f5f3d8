import { ById } from '#contract/lists'
import { BatchDetailView, FinishBatchBody } from '#contract/production'
import { fieldError, MillError } from '#core/errors'
import { formatKg, grams, readKg, sumGrams, type Grams } from '#core/quantity/mass'
import { loadMill } from '#features/requirements/mill'
import { enterSheet } from '#features/sheets/enter-sheet'
import { issueToBatch, makeBags } from '#features/stock/ledger'
import { command, type CommandContext } from '#platform/command'
import { happenedAt, SHEET_DAYS_BACK } from '#platform/happened-at'
import { addDays, dateOf, dayAt } from '#platform/mill-day'
import { findingsOf, wholeBatch } from './batch-view.js'
import { asJson } from './begin-batch.js'
import { loadJudge, type WeighedLots } from './judge-load.js'
import { lockBatch, requireRevision, type LockedBatch } from './lock-batch.js'
import { openDiscrepancy } from './open-discrepancy.js'
import { reasonsToHold } from './reasons-to-hold.js'
import { settleOrder } from './settle-order.js'
import { requirePossible, requireWeighable, weighLines } from './weigh-line.js'

/** Finished mash keeps 4 to 8 weeks, dry and off the floor (STO-01 of the mill practice table, textbook, from memory): the short end. */
const KEEPS_DAYS = 28

type Line = LockedBatch['lines'][number]
type Actual = ReadonlyMap<Line, Grams>

/** Every row must have been weighed; each that was not is named. */
const requireWeights = (lines: readonly Line[], actual: Actual): void => {
  const missing = lines.filter((line) => !actual.has(line))
  if (missing.length === 0) return
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

const lotsOf = (actual: Actual): WeighedLots => {
  const lots = new Map<string, Grams>()
  for (const [{ lotId }, mass] of actual) {
    if (lotId !== null) lots.set(lotId, sumGrams([lots.get(lotId) ?? grams(0), mass]))
  }
  return lots
}

type Booking = {
  readonly batch: LockedBatch
  readonly actual: Actual
  readonly inKg: string
  readonly madeKg: string
  readonly at: Date
}

const book = async ({ tx, actor, newId }: CommandContext, { batch, actual, inKg, madeKg, at }: Booking) => {
  const about = { orderId: batch.orderId, batchId: batch.id, happenedAt: at, actorId: actor.userId }
  const issued = [...actual].flatMap(([{ lotId, targetKg }, mass]) =>
    lotId === null ? [] : [{ lotId, reservedKg: targetKg.toFixed(3), actualKg: formatKg(mass) }],
  )
  const { unexplained } = await issueToBatch(tx, { ...about, id: newId(), lines: issued })
  await makeBags(tx, { ...about, id: newId(), inKg, madeKg })
  return unexplained
}

/** A load cannot be finished before it was begun here: an hour was misread, or the start was pressed late. It is taken, and told. */
const enterWeighing = async (
  ctx: CommandContext,
  { id, number, orderId, startedAt }: LockedBatch,
  sheet: string,
  at: Date,
): Promise<void> => {
  await enterSheet(ctx, { sheet, kind: 'weighing', at, atPath: 'finishedAt' }, { batchId: id })
  if (startedAt !== null && at < startedAt)
    await openDiscrepancy(ctx, 'sheet-before-load', { batchId: id, orderId }, { sheet, batchNumber: number })
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
  prepare: async ({ db, now }, { id }) => ({ judge: await loadJudge(db, id, now), timeZone: (await loadMill(db)).timeZone }),
  async run(ctx, input, { judge, timeZone }) {
    const { tx, actor, now, record } = ctx
    const { id, sheet } = input
    if (sheet !== null && input.finishedAt === null)
      throw fieldError('bad-input', 'finishedAt', 'missing', 'when it was finished, as the sheet says')
    const at = happenedAt('finishedAt', input.finishedAt, now, sheet === null ? undefined : SHEET_DAYS_BACK)
    const batch = await lockBatch(tx, id)
    requireRevision(batch, input.revision)
    await requireWeighable(ctx, batch, at)
    const { actual, corrected } = await weighLines(ctx, batch, { weighings: input.weights, at, pathOf: (i) => `weights.${i}.position` })
    requireWeights(batch.lines, actual)
    const weighed = lotsOf(actual)
    const inMass = sumGrams(weighed.values())
    const made = readKg(input.madeKg) ?? grams(0)
    requirePossible(batch, 'madeKg', made)
    const unexplained = await book(ctx, { batch, actual, inKg: formatKg(inMass), madeKg: formatKg(made), at })
    const { brokenLimits, findings } = judge(weighed)
    const reasons = await reasonsToHold(ctx, batch, { inMass, made, unexplained, brokenLimits, findings })
    // A load that the manager held while it was weighed stays held; its facts are booked all the same.
    const held = batch.status === 'on-hold'
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
    if (sheet !== null) await enterWeighing(ctx, batch, sheet, at)
    record('batch.finished', 'batch', id, { number: batch.number, inKg: formatKg(inMass), madeKg: formatKg(made), onHoldFor: reasons })
    await settleOrder(ctx, batch.orderId)
    return wholeBatch(tx, id, corrected)
  },
})
