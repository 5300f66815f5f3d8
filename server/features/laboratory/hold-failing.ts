import { takeOffShelf } from '#features/production/settle-order'
import type { CommandContext } from '#platform/command'
import type { Tx } from '#platform/database/client'
import { batchesOf, isInside, recheck, type Rechecked } from './used-batches.js'

/** Orders and loads are locked before lots, as whoever begins or finishes a load does, so that neither waits for the other. */
export const lockBatchesOf = async (tx: Tx, lotIds: readonly string[]): Promise<void> => {
  await tx.$queryRaw`
    WITH RECURSIVE held AS (
      SELECT id AS lot_id FROM unnest(${[...lotIds]}::uuid[]) AS id
      UNION SELECT p.lot_id FROM held h JOIN lot_parent p ON p.parent_id = h.lot_id)
    SELECT o.id FROM "order" o JOIN batch b ON b.order_id = o.id
    WHERE b.id IN (SELECT batch_id FROM batch_line WHERE lot_id IN (SELECT lot_id FROM held))
    ORDER BY o.id, b.id FOR UPDATE OF o, b`
}

const failing = ({ judgement }: Rechecked): string[] => [...judgement.brokenLimits, ...judgement.findings.map(({ ruleId }) => ruleId)]

type Told = ReadonlyMap<string, ReadonlySet<string>>

/** What the manager was told of each load before. */
const toldBefore = async (tx: Tx, batchIds: readonly string[]): Promise<Told> => {
  const rows = await tx.discrepancy.findMany({
    where: { batchId: { in: [...batchIds] }, kind: { in: ['limit-broken', 'safety-broken', 'late-result-fails'] } },
    select: { batchId: true, facts: true },
  })
  const told = new Map<string, Set<string>>()
  for (const { batchId, facts } of rows) {
    if (batchId === null || typeof facts !== 'object' || facts === null || Array.isArray(facts)) continue
    const words = [facts['limits'], facts['rules']].flatMap((list) => (typeof list === 'string' ? list.split(', ') : []))
    told.set(batchId, new Set([...(told.get(batchId) ?? []), ...words]))
  }
  return told
}

/** Loads that the manager was told of and that are not held any more, as they stood before this result; by their id. */
export type Before = ReadonlyMap<string, Rechecked>

/** For before the results are written: whether what the manager let go has become another matter is seen only beside how it stood. */
export const judgeBefore = async ({ tx, now }: CommandContext, lotIds: readonly string[]): Promise<Before> => {
  const going = (await batchesOf(tx, lotIds)).filter(({ startedAt, status }) => startedAt !== null && status !== 'on-hold')
  const told = await toldBefore(
    tx,
    going.map(({ id }) => id),
  )
  const checked = await recheck(
    tx,
    going.filter(({ id }) => told.has(id)),
    now,
  )
  return new Map(checked.map((one) => [one.row.id, one]))
}

/** Common practice, no source: a belief that moves by less than this moved with the figures of another laboratory. */
const WORSE_BY = 1.01
type Finding = Rechecked['judgement']['findings'][number]
const missedBy = ({ found, limit }: Finding): number => (found === null || limit === null ? 0 : Math.abs(found.value - limit.value))

/** What one rule finds further from its limit than it was when the manager let the load go. */
const becameWorse = (now: Rechecked, before: Rechecked, what: string): boolean => {
  const worst = ({ judgement }: Rechecked): number =>
    Math.max(0, ...judgement.findings.filter(({ ruleId }) => ruleId === what).map(missedBy))
  return worst(now) > WORSE_BY * worst(before)
}

/** The same failure of a load that is held or was let go is no news; one that had passed in between, or that is worse now, is. */
const isNews = (one: Rechecked, told: Told, before: Before): boolean => {
  const earlier = before.get(one.row.id)
  const stoodBefore = new Set(earlier ? failing(earlier) : [])
  return failing(one).some((what) => {
    if (!told.get(one.row.id)?.has(what)) return true
    return earlier !== undefined && (!stoodBefore.has(what) || becameWorse(one, earlier, what))
  })
}

type Failed = { readonly checked: Rechecked; readonly lotNumbers: string }

/** All at once: one lot can stand in hundreds of loads, and a transaction lasts seconds. */
const report = async ({ tx, actor, now, newId, record }: CommandContext, failed: readonly Failed[]): Promise<void> => {
  const rows = failed.map(({ checked: { row, judgement }, lotNumbers }) => ({
    id: newId(),
    kind: 'late-result-fails',
    batchId: row.id,
    orderId: row.order.id,
    facts: {
      batchNumber: row.number,
      lotNumber: lotNumbers,
      limits: judgement.brokenLimits.join(', '),
      rules: judgement.findings.map(({ ruleId }) => ruleId).join(', '),
    },
    openedAt: now,
    openedBy: actor.userId,
  }))
  const written = await tx.discrepancy.createManyAndReturn({ data: rows, select: { id: true, number: true } })
  const numbers = new Map(written.map(({ id, number }) => [id, number]))
  for (const { id, kind, batchId, orderId, facts } of rows)
    record('discrepancy.opened', 'discrepancy', id, { number: numbers.get(id) ?? 0, kind, batchId, orderId, ...facts })
}

/** Its bags are with the member: what helps then is a trace and a call, and the books stay as they are. */
const mayHold = ({ row }: Rechecked): boolean => row.order.status !== 'collected' && ['being-weighed', 'done'].includes(row.status)

const setReason = async ({ tx }: CommandContext, reasons: ReadonlyMap<string, readonly string[]>): Promise<void> => {
  for (const [statusReason, ids] of reasons)
    await tx.batch.updateMany({ where: { id: { in: [...ids] } }, data: { status: 'on-hold', statusReason, revision: { increment: 1 } } })
}

const byReason = (loads: readonly { readonly id: string; readonly reason: string }[]): ReadonlyMap<string, readonly string[]> =>
  new Map(
    [...new Set(loads.map(({ reason }) => reason))].map((reason) => [
      reason,
      loads.flatMap((load) => (load.reason === reason ? [load.id] : [])),
    ]),
  )

/** The console has words for these two. */
const LATE = 'late result of lot '
const AGAIN_INSIDE = '; inside again'

const hold = async (ctx: CommandContext, failed: readonly Failed[]): Promise<void> => {
  const loads = failed.map(({ checked: { row }, lotNumbers }) => ({ id: row.id, row, reason: `${LATE}${lotNumbers}` }))
  await setReason(ctx, byReason(loads))
  for (const { row, reason } of loads) ctx.record('batch.held', 'batch', row.id, { number: row.number, from: row.status, reason })
  await takeOffShelf(ctx, [...new Set(loads.map(({ row }) => row.order.id))])
}

/** What was held for a late result and passes by a later one stays held, for that is the manager's to decide, and says so. */
const sayInside = async (ctx: CommandContext, checked: readonly Rechecked[]): Promise<void> => {
  const loads = checked.flatMap((one) => {
    const { id, status, statusReason } = one.row
    const says = statusReason.endsWith(AGAIN_INSIDE)
    if (status !== 'on-hold' || !statusReason.startsWith(LATE) || says === isInside(one)) return []
    return [{ id, row: one.row, reason: says ? statusReason.slice(0, -AGAIN_INSIDE.length) : `${statusReason}${AGAIN_INSIDE}` }]
  })
  await setReason(ctx, byReason(loads))
  for (const { row, reason } of loads) ctx.record('batch.hold-checked', 'batch', row.id, { number: row.number, reason })
}

export type NewlyTested = { readonly lotId: string; readonly lotNumber: number }

/**
 * Results that came after their lots were used: every load that was begun is checked again. One that fails now goes on hold, and the
 * manager gets it to decide on; one that nobody began is checked when it begins. Answers with all of them. `before` is how loads that the
 * manager let go stood without these results.
 */
export const holdFailing = async (ctx: CommandContext, lots: readonly NewlyTested[], before: Before): Promise<Rechecked[]> => {
  const { tx, now } = ctx
  const checked = await recheck(
    tx,
    await batchesOf(
      tx,
      lots.map(({ lotId }) => lotId),
    ),
    now,
  )
  const outside = checked.filter((one) => one.row.startedAt !== null && !isInside(one))
  const told = await toldBefore(
    tx,
    outside.map(({ row }) => row.id),
  )
  const failed = outside
    .filter((one) => isNews(one, told, before))
    .map((one) => ({
      checked: one,
      lotNumbers: lots.flatMap(({ lotId, lotNumber }) => (one.row.from.has(lotId) ? [lotNumber] : [])).join(', '),
    }))
  if (failed.length > 0) await report(ctx, failed)
  await hold(
    ctx,
    failed.filter((one) => mayHold(one.checked)),
  )
  await sayInside(ctx, checked)
  return checked
}
