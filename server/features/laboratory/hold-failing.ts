import { settleOrder } from '#features/production/settle-order'
import type { CommandContext } from '#platform/command'
import type { Tx } from '#platform/database/client'
import { batchesOf, isInside, recheck, type Rechecked } from './used-batches.js'

/** Orders and loads are locked before lots, as whoever begins or finishes a load does, so that neither waits for the other. */
export const lockBatchesOf = async (tx: Tx, lotIds: readonly string[]): Promise<void> => {
  await tx.$queryRaw`
    SELECT o.id FROM "order" o JOIN batch b ON b.order_id = o.id
    WHERE b.id IN (SELECT batch_id FROM batch_line WHERE lot_id = ANY(${[...lotIds]}::uuid[]))
    ORDER BY o.id, b.id FOR UPDATE OF o, b`
}

const failing = ({ judgement }: Rechecked): string[] => [...judgement.brokenLimits, ...judgement.findings.map(({ ruleId }) => ruleId)]

/** What the manager was told of a load before: the same again is no news. */
const toldBefore = async (tx: Tx, batchId: string): Promise<ReadonlySet<string>> => {
  const rows = await tx.discrepancy.findMany({
    where: { batchId, kind: { in: ['limit-broken', 'safety-broken', 'late-result-fails'] } },
    select: { facts: true },
  })
  const words = rows.flatMap(({ facts }) =>
    typeof facts === 'object' && facts !== null && !Array.isArray(facts) ? [facts['limits'], facts['rules']] : [],
  )
  return new Set(words.flatMap((list) => (typeof list === 'string' ? list.split(', ') : [])))
}

const report = async ({ tx, actor, now, newId, record }: CommandContext, checked: Rechecked, lotNumbers: string): Promise<void> => {
  const { row, judgement } = checked
  const about = { batchId: row.id, orderId: row.order.id }
  const facts = {
    batchNumber: row.number,
    lotNumber: lotNumbers,
    limits: judgement.brokenLimits.join(', '),
    rules: judgement.findings.map(({ ruleId }) => ruleId).join(', '),
  }
  const id = newId()
  const { number } = await tx.discrepancy.create({
    data: { id, kind: 'late-result-fails', ...about, facts, openedAt: now, openedBy: actor.userId },
    select: { number: true },
  })
  record('discrepancy.opened', 'discrepancy', id, { number, kind: 'late-result-fails', ...about, ...facts })
}

/** Its bags are with the member: what helps then is a trace and a call, and the books stay as they are. */
const mayHold = ({ row }: Rechecked): boolean => row.order.status !== 'collected' && ['being-weighed', 'done'].includes(row.status)

const hold = async (ctx: CommandContext, { row }: Rechecked, lotNumbers: string): Promise<void> => {
  const reason = `late result of lot ${lotNumbers}`
  await ctx.tx.batch.update({ where: { id: row.id }, data: { status: 'on-hold', statusReason: reason, revision: { increment: 1 } } })
  ctx.record('batch.held', 'batch', row.id, { number: row.number, from: row.status, reason })
  await settleOrder(ctx, row.order.id)
}

export type NewlyTested = { readonly lotId: string; readonly lotNumber: number }

/**
 * Results that came after their lots were used: every load that was begun is checked again. One that fails now goes on hold, and the
 * manager gets it to decide on; one that nobody began is checked when it begins. Answers with all of them.
 */
export const holdFailing = async (ctx: CommandContext, lots: readonly NewlyTested[]): Promise<Rechecked[]> => {
  const { tx, now } = ctx
  const checked = await recheck(
    tx,
    await batchesOf(
      tx,
      lots.map(({ lotId }) => lotId),
    ),
    now,
  )
  for (const one of checked) {
    if (one.row.startedAt === null || isInside(one)) continue
    const told = await toldBefore(tx, one.row.id)
    if (failing(one).every((what) => told.has(what))) continue
    const numbers = lots.flatMap(({ lotId, lotNumber }) => (one.weighed.has(lotId) ? [lotNumber] : [])).join(', ')
    await report(ctx, one, numbers)
    if (mayHold(one)) await hold(ctx, one, numbers)
  }
  return checked
}
