import { ById } from '#contract/lists'
import { OrderDetailView, PlanOrderBody } from '#contract/orders'
import { MillError } from '#core/errors'
import { formatKg } from '#core/quantity/mass'
import { formatMoney } from '#core/quantity/money'
import { bagKgOfMill } from '#features/orders/bag-size'
import { orderDetailView, withNames } from '#features/orders/order-view'
import { reserveLots } from '#features/stock/ledger'
import { command } from '#platform/command'
import { loadToday } from '#platform/mill-day'
import { createBatches, lockVersion } from './create-batches.js'
import { draftPlan } from './draft-plan.js'
import { refuseChangedLots } from './known-results.js'

/**
 * Turns an order into loads: solved against the released lots of now, divided for the mixer, rounded to what its scales show and
 * re-checked, all before the transaction. The transaction reserves what the loads take, lot by lot; where stock, a lot or the order
 * changed in the meantime it refuses, and nothing is written.
 */
export const planOrder = command({
  roles: ['manager'],
  params: ById,
  input: PlanOrderBody,
  ifMatch: true,
  output: OrderDetailView,
  prepare: (means, { id, revision, mixerId }) => draftPlan(means, { id, revision, mixerId }),
  async run({ tx, actor, now, newId, record }, { id, revision }, draft) {
    const { count } = await tx.order.updateMany({
      where: { id, revision, status: 'ordered' },
      data: {
        status: 'planned',
        plannedAt: now,
        formulaVersionId: draft.versionId,
        mix: draft.mix,
        mixHash: draft.mix.inputHash,
        costTotal: formatMoney(draft.cost),
        findings: draft.findings.map((finding) => ({ ...finding })),
        revision: { increment: 1 },
      },
    })
    if (count === 0) throw new MillError('stale-revision')
    await lockVersion(tx, draft.versionId)
    const lines = [...draft.taken].map(([lotId, mass]) => ({ lotId, kg: formatKg(mass) }))
    const reservation = { id: newId(), orderId: id, lines, happenedAt: now, actorId: actor.userId }
    await reserveLots(tx, { ...reservation, stage: draft.stage, today: await loadToday(tx, now) })
    await refuseChangedLots(tx, draft.known)
    await createBatches(tx, id, draft, { actorId: actor.userId, now, newId })
    record('order.planned', 'order', id, {
      number: draft.orderNumber,
      loads: draft.loads.length,
      inputHash: draft.mix.inputHash,
      formulaVersionId: draft.versionId,
      lots: lines,
    })
    const row = await tx.order.findUniqueOrThrow({ where: { id }, include: withNames })
    return orderDetailView(row, { bagKg: await bagKgOfMill(tx), actor })
  },
})
