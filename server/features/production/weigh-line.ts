import { fieldError } from '#core/errors'
import { formatKg, grams, parseKg, readKg, type Grams } from '#core/quantity/mass'
import type { CommandContext } from '#platform/command'
import { partOf } from './batch-view.js'
import { beginBatch } from './begin-batch.js'
import { wrongState, type LockedBatch } from './lock-batch.js'
import { openDiscrepancy } from './open-discrepancy.js'

export type Weighing = {
  readonly part: 'load' | 'pre-blend'
  readonly position: number
  readonly actualKg: string
  readonly weighedAt: Date
}
export type Corrected = { readonly part: string; readonly position: number; readonly earlierKg: string }

/**
 * Weights are facts and are taken as they are, from a load that was never started too: then the start is recorded with them and a
 * discrepancy says that its checks were not made. Only a load that is finished or cancelled takes no more.
 */
export const requireWeighable = async (ctx: CommandContext, batch: LockedBatch, firstAt: Date): Promise<void> => {
  if (batch.finishedAt !== null || batch.status === 'cancelled') throw wrongState(batch)
  if (batch.status !== 'planned') return
  await beginBatch(ctx.tx, batch, { startedAt: firstAt, findings: [] })
  ctx.record('batch.started', 'batch', batch.id, { number: batch.number, checked: false })
  await openDiscrepancy(ctx, 'weighed-before-start', { batchId: batch.id, orderId: batch.orderId }, { batchNumber: batch.number })
}

const sameLine = (a: { part: string; position: number }, b: { part: string; position: number }): boolean =>
  a.part === b.part && a.position === b.position

const mass = (value: { toFixed(places: number): string }): Grams => parseKg(value.toFixed(3))

/** One row's weight. A second entry corrects the first, whose value stays in the history; outside the range opens a discrepancy. */
export const weighLine = async (ctx: CommandContext, batch: LockedBatch, weighing: Weighing, path: string): Promise<Corrected | null> => {
  const { tx, actor, record } = ctx
  const { part, position, actualKg, weighedAt } = weighing
  const line = batch.lines.find((candidate) => sameLine(candidate, weighing))
  if (line === undefined)
    throw fieldError('bad-input', path, 'unknown', `there is no row ${position} in this part of the sheet`, { part, position })
  await tx.batchLine.update({
    where: { batchId_part_position: { batchId: batch.id, part, position } },
    data: { actualKg, weighedAt, weighedBy: actor.userId },
  })
  const earlierKg = line.actualKg?.toFixed(3) ?? null
  const facts = { number: batch.number, part, position, actualKg }
  if (earlierKg === null) record('batch.weighed', 'batch', batch.id, facts)
  else record('batch.weight-corrected', 'batch', batch.id, { ...facts, earlierKg })
  const actual = readKg(actualKg) ?? grams(0)
  if (actual < mass(line.allowedLowKg) || actual > mass(line.allowedHighKg)) {
    const about = { batchId: batch.id, orderId: batch.orderId, ...(line.lotId === null ? {} : { lotId: line.lotId }) }
    await openDiscrepancy(ctx, 'outside-allowed-range', about, {
      batchNumber: batch.number,
      part: partOf(line.part),
      position,
      actualKg: formatKg(actual),
      targetKg: line.targetKg.toFixed(3),
      allowedLowKg: line.allowedLowKg.toFixed(3),
      allowedHighKg: line.allowedHighKg.toFixed(3),
    })
  }
  return earlierKg === null ? null : { part, position, earlierKg }
}
