import type { z } from 'zod'
import type { FindingView } from '#contract/findings'
import { ById } from '#contract/lists'
import { CollectOrderBody, OrderView } from '#contract/orders'
import { fieldError, MillError } from '#core/errors'
import { millFinding, type Finding } from '#core/safety/finding'
import { refuseBlocks } from '#features/formulas/blocks'
import { bagKgOfMill } from '#features/orders/bag-size'
import { checkOrderOf, eatenFrom } from '#features/orders/check-order'
import { baggedOf, priceOfBags } from '#features/orders/order-price'
import { orderView, withNames } from '#features/orders/order-view'
import { enterSheet } from '#features/sheets/enter-sheet'
import { deliverBags } from '#features/stock/ledger'
import { command } from '#platform/command'
import type { Tx } from '#platform/database/client'
import { happenedAt, SHEET_DAYS_BACK } from '#platform/happened-at'
import { loadToday, plainDate } from '#platform/mill-day'
import { countCodeTry, forgetCodeTries } from './code-tries.js'
import { loadsOf, requireBagged, tellOfHandOver, type Load } from './hand-over-facts.js'

const pastBestBefore = ({ number, bestBefore, kg }: Load, today: string): Finding[] => {
  const day = bestBefore === null || Number(kg) === 0 ? null : plainDate(bestBefore)
  if (day === null || day >= today) return []
  const what = { code: 'bags-past-best-before', facts: { batch: number, bestBefore: day } }
  return [millFinding('BAG-BEST-BEFORE', 'bags', { severity: 'block', what, appliesTo: String(number) })]
}

// The birds grew while the feed waited: what would have forbidden the order forbids handing it over.
const findingsForBirds = async (tx: Tx, orderId: string, today: string, now: Date): Promise<FindingView[]> => {
  const { dueOn, flock, formulaVersion } = await tx.order.findUniqueOrThrow({
    where: { id: orderId },
    select: { dueOn: true, flock: true, formulaVersion: { include: { formula: true } } },
  })
  return checkOrderOf(tx, { flock, version: formulaVersion, on: eatenFrom(plainDate(dueOn), today) }, now)
}

type Given = z.output<typeof CollectOrderBody>
/** A code and no time of its own now; with a sheet its time, and the code if the member gave one. */
const requireWhole = ({ sheet, collectedAt, collectionCode }: Given): void => {
  if (sheet !== null) {
    if (collectedAt === null) throw fieldError('bad-input', 'collectedAt', 'missing', 'when they were handed over, as the sheet says')
    return
  }
  if (collectedAt !== null) throw fieldError('bad-input', 'collectedAt', 'needs-sheet', 'only with the number of a sheet')
  if (collectionCode === null) throw fieldError('bad-input', 'collectionCode', 'missing', 'four digits')
}

/**
 * The member's bags are handed over against the four digits that only the member was shown, while they are still good for these birds. What
 * was handed over in a power cut is written on a sheet: those bags are gone, so they are booked, and what was against it is told.
 */
export const collectOrder = command({
  roles: ['counter-clerk', 'store-keeper', 'manager'],
  params: ById,
  input: CollectOrderBody,
  ifMatch: true,
  output: OrderView,
  // Wrong codes are counted outside the transaction: the refusal undoes everything inside it.
  async prepare({ db, now }, input) {
    const { id, collectionCode, sheet } = input
    requireWhole(input)
    const order = await db.order.findUnique({ where: { id }, select: { collectionCode: true } })
    if (order === null) throw new MillError('not-found')
    if (sheet !== null) return
    await countCodeTry(db, id, now)
    if (order.collectionCode !== collectionCode)
      throw fieldError('wrong-code', 'collectionCode', 'wrong', 'this is not the code of this order')
    await forgetCodeTries(db, id)
  },
  async run(ctx, { id, revision, collectionCode, collectedAt, sheet }) {
    const { tx, actor, now, newId, record } = ctx
    const at = happenedAt('collectedAt', collectedAt, now, SHEET_DAYS_BACK)
    const { count } = await tx.order.updateMany({
      where: { id, revision, status: sheet === null ? 'ready' : { in: ['planned', 'being-mixed', 'ready'] } },
      data: { status: 'collected', collectedAt: at, revision: { increment: 1 } },
    })
    const order = await tx.order.findUniqueOrThrow({ where: { id } })
    if (count === 0)
      throw order.revision === revision ? new MillError('wrong-state', { status: order.status }) : new MillError('stale-revision')
    const today = await loadToday(tx, at)
    const loads = await loadsOf(tx, id)
    requireBagged(loads, sheet !== null)
    const findings = [...(await findingsForBirds(tx, id, today, now)), ...loads.flatMap((load) => pastBestBefore(load, today))]
    if (sheet === null) refuseBlocks(findings)
    else {
      await enterSheet(ctx, { sheet, kind: 'collection', at, atPath: 'collectedAt' }, { orderId: id })
      const code = { right: order.collectionCode === collectionCode, given: collectionCode !== null }
      await tellOfHandOver(ctx, { order, sheet, at, code, loads, findings })
      // A load on hold kept the order from being priced by its bags.
      const bagged = baggedOf(loads.map(({ madeKg }) => ({ status: 'done', madeKg })))
      await tx.order.update({ where: { id }, data: { priceTotal: priceOfBags(order, bagged) } })
    }
    const batches = loads.flatMap(({ id: batchId, kg }) => (Number(kg) > 0 ? [{ batchId, kg }] : []))
    const delivery = { id: newId(), orderId: id, memberId: order.memberId, batches, happenedAt: at, actorId: actor.userId }
    await deliverBags(tx, { ...delivery, evenHeld: sheet !== null })
    record('order.collected', 'order', id, { number: order.number, batches })
    const row = await tx.order.findUniqueOrThrow({ where: { id }, include: withNames })
    return orderView(row, { bagKg: await bagKgOfMill(tx), showCode: false })
  },
})
