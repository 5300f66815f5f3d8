import { ById } from '#contract/lists'
import { OrderDetailView, ReplanOrderBody } from '#contract/orders'
import { MillError } from '#core/errors'
import { formatKg } from '#core/quantity/mass'
import { cents, formatMoney, parseMoney } from '#core/quantity/money'
import { bagKgOfMill } from '#features/orders/bag-size'
import { orderDetailView, withNames } from '#features/orders/order-view'
import { releaseReservation, reserveLots } from '#features/stock/ledger'
import { command } from '#platform/command'
import type { Tx } from '#platform/database/client'
import { loadToday } from '#platform/mill-day'
import { createBatches, lockVersion } from './create-batches.js'
import { draftLoads, type Draft, type Means } from './draft-plan.js'
import { refuseChangedLots } from './known-results.js'
import { cancelOpenLoads, costOfOpenLoads, loadOpenLoads, reservedLines, type OpenLoads } from './open-loads.js'
import { plannableOrder } from './plannable-order.js'
import { asPart } from './unmixed-part.js'

const REPLANNED: readonly string[] = ['planned', 'being-mixed']

type Prepared = { readonly draft: Draft; readonly before: OpenLoads }

const draftAgain = async (means: Means, asked: { id: string; revision: number; mixerId: string | null }): Promise<Prepared> => {
  const order = await plannableOrder(means.db, asked.id, means.now)
  if (order.revision !== asked.revision) throw new MillError('stale-revision')
  const before = await loadOpenLoads(means.db, asked.id)
  if (!REPLANNED.includes(order.status) || before.ids.length === 0) throw new MillError('wrong-state', { status: order.status })
  // Loads of one order that were mixed by different limits would be one feed in name only.
  if (before.othersBegun && order.version.id !== order.orderedVersionId)
    throw new MillError('formula-not-approved', { version: order.version.version })
  return { draft: await draftLoads(means, asPart(order, before), asked.mixerId ?? before.mixerId), before }
}

const lockOrder = async (tx: Tx, id: string, revision: number): Promise<void> => {
  await tx.$queryRaw`SELECT id FROM "order" WHERE id = ${id}::uuid FOR UPDATE`
  const { revision: now } = await tx.order.findUniqueOrThrow({ where: { id }, select: { revision: true } })
  if (now !== revision) throw new MillError('stale-revision')
}

/**
 * The way out when a load cannot begin any more (a lot of it was rejected, or it is held for good): the loads that nobody began are
 * cancelled, what is set aside for them is free again, and their kilograms are planned anew in the same transaction. What the member
 * was told to pay stays: the price belongs to the order, not to the lots.
 */
export const replanOrder = command({
  roles: ['manager'],
  params: ById,
  input: ReplanOrderBody,
  ifMatch: true,
  output: OrderDetailView,
  prepare: (means, { id, revision, mixerId }) => draftAgain(means, { id, revision, mixerId }),
  async run({ tx, actor, now, newId, record }, { id, revision, reason }, { draft, before }) {
    await lockOrder(tx, id, revision)
    const open = await loadOpenLoads(tx, id)
    // Somebody began, held or let go a load while this was worked out.
    if (open.seen !== before.seen) throw new MillError('stale-revision')
    await lockVersion(tx, draft.versionId)
    // Both movements touch lots: all are held beforehand, in the order in which everybody takes them.
    const lotIds = [...new Set([...open.reserved.keys(), ...draft.taken.keys()])].toSorted()
    await tx.$queryRaw`SELECT id FROM lot WHERE id = ANY(${lotIds}::uuid[]) ORDER BY id FOR UPDATE`
    const costOfOpen = await costOfOpenLoads(tx, open)
    await cancelOpenLoads(tx, open, reason)
    const about = { orderId: id, happenedAt: now, actorId: actor.userId, reason }
    await releaseReservation(tx, { ...about, id: newId(), lines: reservedLines(open) })
    const lines = [...draft.taken].map(([lotId, mass]) => ({ lotId, kg: formatKg(mass) }))
    await reserveLots(tx, { ...about, id: newId(), lines, stage: draft.stage, today: await loadToday(tx, now) })
    await refuseChangedLots(tx, draft.known)
    const { _max } = await tx.batch.aggregate({ where: { orderId: id }, _max: { loadOfOrder: true } })
    await createBatches(tx, id, draft, { actorId: actor.userId, now, newId, after: _max.loadOfOrder ?? 0 })
    const { number, costTotal } = await tx.order.findUniqueOrThrow({ where: { id }, select: { number: true, costTotal: true } })
    const cost = cents((costTotal === null ? costOfOpen : parseMoney(costTotal.toFixed(2))) - costOfOpen + draft.cost)
    const row = await tx.order.update({
      where: { id },
      data: {
        formulaVersionId: draft.versionId,
        mix: draft.mix,
        mixHash: draft.mix.inputHash,
        costTotal: formatMoney(cost),
        findings: draft.findings.map((finding) => ({ ...finding })),
        revision: { increment: 1 },
      },
      include: withNames,
    })
    record('order.replanned', 'order', id, {
      number,
      reason,
      kg: formatKg(open.mass),
      loadsBefore: open.ids.length,
      loads: draft.loads.length,
      inputHash: draft.mix.inputHash,
      lots: lines,
    })
    return orderDetailView(row, { bagKg: await bagKgOfMill(tx), actor })
  },
})
