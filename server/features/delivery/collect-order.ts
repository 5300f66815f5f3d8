import { ById } from '#contract/lists'
import { CollectOrderBody, OrderView } from '#contract/orders'
import { fieldError, MillError } from '#core/errors'
import { millFinding, type Finding } from '#core/safety/finding'
import { refuseBlocks } from '#features/formulas/blocks'
import { bagKgOfMill } from '#features/orders/bag-size'
import { checkOrderOf, eatenFrom } from '#features/orders/check-order'
import { orderView, withNames } from '#features/orders/order-view'
import { deliverBags } from '#features/stock/ledger'
import { command } from '#platform/command'
import type { Tx } from '#platform/database/client'
import { loadToday, plainDate } from '#platform/mill-day'
import { countCodeTry, forgetCodeTries } from './code-tries.js'

type Bags = { readonly number: number; readonly bestBefore: Date | null }

const pastBestBefore = ({ number, bestBefore }: Bags, today: string): Finding[] => {
  const day = bestBefore === null ? null : plainDate(bestBefore)
  if (day === null || day >= today) return []
  const what = { code: 'bags-past-best-before', facts: { batch: number, bestBefore: day } }
  return [millFinding('BAG-BEST-BEFORE', 'bags', { severity: 'block', what, appliesTo: String(number) })]
}

// The birds grew while the feed waited: what would have forbidden the order forbids handing it over.
const refuseForBirds = async (tx: Tx, orderId: string, today: string, now: Date): Promise<void> => {
  const { dueOn, flock, formulaVersion } = await tx.order.findUniqueOrThrow({
    where: { id: orderId },
    select: { dueOn: true, flock: true, formulaVersion: { include: { formula: true } } },
  })
  refuseBlocks(await checkOrderOf(tx, { flock, version: formulaVersion, on: eatenFrom(plainDate(dueOn), today) }, now))
}

// Everything that was made for the order goes with it; a batch without bags left has nothing to hand over.
const bagsOf = async (tx: Tx, orderId: string, today: string): Promise<{ batchId: string; kg: string }[]> => {
  const batches = await tx.batch.findMany({
    where: { orderId, status: { not: 'cancelled' } },
    select: { id: true, number: true, status: true, bagsOnHandKg: true, bestBefore: true },
  })
  const held = batches.find(({ status }) => status !== 'done')
  if (held !== undefined) throw new MillError('wrong-state', { batchNumber: held.number, status: held.status })
  refuseBlocks(batches.flatMap((batch) => (batch.bagsOnHandKg.gt(0) ? pastBestBefore(batch, today) : [])))
  return batches.flatMap(({ id, bagsOnHandKg }) => (bagsOnHandKg.gt(0) ? [{ batchId: id, kg: bagsOnHandKg.toFixed(3) }] : []))
}

/** The member's bags are handed over against the four digits that only the member was shown, while they are still good for these birds. */
export const collectOrder = command({
  roles: ['counter-clerk', 'store-keeper', 'manager'],
  params: ById,
  input: CollectOrderBody,
  ifMatch: true,
  output: OrderView,
  // Wrong codes are counted outside the transaction: the refusal undoes everything inside it.
  async prepare({ db, now }, { id, collectionCode }) {
    const order = await db.order.findUnique({ where: { id }, select: { collectionCode: true } })
    if (order === null) throw new MillError('not-found')
    await countCodeTry(db, id, now)
    if (order.collectionCode !== collectionCode)
      throw fieldError('wrong-code', 'collectionCode', 'wrong', 'this is not the code of this order')
    await forgetCodeTries(db, id)
  },
  async run({ tx, actor, now, newId, record }, { id, revision }) {
    const { count } = await tx.order.updateMany({
      where: { id, revision, status: 'ready' },
      data: { status: 'collected', collectedAt: now, revision: { increment: 1 } },
    })
    const order = await tx.order.findUniqueOrThrow({ where: { id } })
    if (count === 0)
      throw order.revision === revision ? new MillError('wrong-state', { status: order.status }) : new MillError('stale-revision')
    const today = await loadToday(tx, now)
    await refuseForBirds(tx, id, today, now)
    const batches = await bagsOf(tx, id, today)
    await deliverBags(tx, { id: newId(), orderId: id, memberId: order.memberId, batches, happenedAt: now, actorId: actor.userId })
    record('order.collected', 'order', id, { number: order.number, batches })
    const row = await tx.order.findUniqueOrThrow({ where: { id }, include: withNames })
    return orderView(row, { bagKg: await bagKgOfMill(tx), showCode: false })
  },
})
