import { fieldError } from '#core/errors'
import { formatKg, grams, parseKg, readKg, type Grams } from '#core/quantity/mass'
import type { CommandContext } from '#platform/command'
import { partOf } from './batch-view.js'
import { beginBatch } from './begin-batch.js'
import { wrongState, type LockedBatch } from './lock-batch.js'
import { openDiscrepancy } from './open-discrepancy.js'

export type Weighing = { readonly part: 'load' | 'pre-blend'; readonly position: number; readonly actualKg: string }
export type Corrected = { readonly part: string; readonly position: number; readonly earlierKg: string }
type Line = LockedBatch['lines'][number]

/**
 * Weights are facts and are taken as they are, from a load that was never started too: then the start is recorded with them and a
 * discrepancy says that its checks were not made. Only a load that is finished or cancelled takes no more.
 */
export const requireWeighable = async (ctx: CommandContext, batch: LockedBatch, firstAt: Date): Promise<void> => {
  if (batch.finishedAt !== null || batch.status === 'cancelled') throw wrongState(batch)
  if (batch.startedAt !== null) return
  await beginBatch(ctx.tx, batch, { startedAt: firstAt, findings: [] })
  ctx.record('batch.started', 'batch', batch.id, { number: batch.number, checked: false })
  await openDiscrepancy(ctx, 'weighed-before-start', { batchId: batch.id, orderId: batch.orderId }, { batchNumber: batch.number })
}

const sameLine = (a: { part: string; position: number }, b: { part: string; position: number }): boolean =>
  a.part === b.part && a.position === b.position

const mass = (value: { toFixed(places: number): string }): Grams => parseKg(value.toFixed(3))

/** More than twice what the mixer holds went into no load: a point that was left out, or a key that stuck. */
const MOST_MIXERS = 2

/** Facts are taken as they are, but no figure that cannot be one. */
export const requirePossible = (batch: LockedBatch, path: string, kg: Grams): void => {
  const most = grams(MOST_MIXERS * mass(batch.mixer.maxLoadKg))
  if (kg > most) throw fieldError('bad-input', path, 'too-big', `at most ${formatKg(most)} kg`, { mostKg: formatKg(most) })
}

const noteOutside = async (ctx: CommandContext, batch: LockedBatch, line: Line, actual: Grams): Promise<void> => {
  if (actual >= mass(line.allowedLowKg) && actual <= mass(line.allowedHighKg)) return
  const about = { batchId: batch.id, orderId: batch.orderId, ...(line.lotId === null ? {} : { lotId: line.lotId }) }
  await openDiscrepancy(ctx, 'outside-allowed-range', about, {
    batchNumber: batch.number,
    part: partOf(line.part),
    position: line.position,
    actualKg: formatKg(actual),
    targetKg: line.targetKg.toFixed(3),
    allowedLowKg: line.allowedLowKg.toFixed(3),
    allowedHighKg: line.allowedHighKg.toFixed(3),
  })
}

const write = async ({ tx, actor }: CommandContext, batchId: string, weights: ReadonlyMap<Line, Grams>, at: Date): Promise<void> => {
  const lines = [...weights.keys()]
  const [parts, positions, kgs] = [lines.map((line) => line.part), lines.map((line) => line.position), [...weights.values()].map(formatKg)]
  await tx.$executeRaw`
    UPDATE batch_line SET actual_kg = w.kg, weighed_at = ${at}::timestamptz, weighed_by = ${actor.userId}::uuid
    FROM unnest(${parts}::text[], ${positions}::int[], ${kgs}::numeric[]) AS w (part, position, kg)
    WHERE batch_line.batch_id = ${batchId}::uuid AND batch_line.part = w.part AND batch_line.position = w.position`
}

export type Weights = { readonly weighings: readonly Weighing[]; readonly at: Date; readonly pathOf: (index: number) => string }
export type WeighedRows = { readonly actual: ReadonlyMap<Line, Grams>; readonly corrected: readonly Corrected[]; readonly changed: number }

/**
 * Weights of rows. Another figure for the same row corrects the first, which stays in the history; the same figure again changes nothing;
 * outside the range opens a discrepancy. Gives what every weighed row of the batch now stands at.
 */
export const weighLines = async (ctx: CommandContext, batch: LockedBatch, { weighings, at, pathOf }: Weights): Promise<WeighedRows> => {
  const actual = new Map(batch.lines.flatMap((line): [Line, Grams][] => (line.actualKg === null ? [] : [[line, mass(line.actualKg)]])))
  const changed = new Map<Line, Grams>()
  const corrected: Corrected[] = []
  for (const [i, weighing] of weighings.entries()) {
    const { part, position } = weighing
    const line = batch.lines.find((candidate) => sameLine(candidate, weighing))
    if (line === undefined)
      throw fieldError('bad-input', pathOf(i), 'unknown', `there is no row ${position} in this part of the sheet`, { part, position })
    const [before, now] = [actual.get(line), readKg(weighing.actualKg) ?? grams(0)]
    requirePossible(batch, pathOf(i).replace(/position$/, 'actualKg'), now)
    if (before === now) continue
    const facts = { number: batch.number, part, position, actualKg: formatKg(now) }
    if (before === undefined) ctx.record('batch.weighed', 'batch', batch.id, facts)
    else {
      corrected.push({ part, position, earlierKg: formatKg(before) })
      ctx.record('batch.weight-corrected', 'batch', batch.id, { ...facts, earlierKg: formatKg(before) })
    }
    actual.set(line, now)
    changed.set(line, now)
    await noteOutside(ctx, batch, line, now)
  }
  if (changed.size > 0) await write(ctx, batch.id, changed, at)
  return { actual, corrected, changed: changed.size }
}
