import { ById } from '#contract/lists'
import { CorrectReceiptBody, LotView } from '#contract/lots'
import { MillError } from '#core/errors'
import { lockLot, receiveIntoStock, reverseTransfer } from '#features/stock/ledger'
import { command } from '#platform/command'
import type { Tx } from '#platform/database/client'
import { lotView, withNames } from './lot-view.js'
import { deliveryOf } from './receive-facts.js'

/** The one movement that still stands of the lot: its receipt. Anything more rests on the receipt, so that is corrected first. */
const standingReceipt = async (tx: Tx, lotId: string): Promise<string | null> => {
  const standing = await tx.stockTransfer.findMany({
    where: { entries: { some: { lotId } }, kind: { not: 'reversal' }, reversedBy: { is: null } },
    select: { id: true, kind: true },
  })
  return standing.length === 1 && standing[0]?.kind === 'receipt' ? standing[0].id : null
}

/**
 * A delivery that was typed wrongly is taken out of the books and entered again as it was: the wrong receipt stays readable, with its
 * reversal. Only while the lot lies as it came: on hold, nothing moved, nothing measured; later a count, a return or a rejection is the way.
 */
export const correctReceipt = command({
  roles: ['store-keeper', 'manager'],
  params: ById,
  input: CorrectReceiptBody,
  ifMatch: true,
  output: LotView,
  async run({ tx, actor, now, newId, record }, { id, revision, reason, ...input }) {
    await lockLot(tx, id)
    const before = await tx.lot.findUniqueOrThrow({ where: { id }, include: withNames })
    const facts = { lotNumber: before.number, status: before.status }
    if (before.revision !== revision) throw new MillError('stale-revision', { ...facts, revision: before.revision })
    const receipt = await standingReceipt(tx, id)
    const measured = await tx.assay.count({ where: { lotId: id } })
    if (before.status !== 'on-hold' || receipt === null || measured > 0) throw new MillError('wrong-state', facts)
    const delivery = await deliveryOf(tx, input, now)
    await reverseTransfer(tx, { id: newId(), reversesId: receipt, reason, actorId: actor.userId })
    await tx.lot.update({ where: { id }, data: { ...delivery, revision: { increment: 1 } } })
    const { supplierId, netKg, receivedAt } = input
    const movement = { id: newId(), happenedAt: new Date(receivedAt), actorId: actor.userId }
    await receiveIntoStock(tx, { ...movement, lotId: id, supplierId, kg: netKg })
    const row = await tx.lot.findUniqueOrThrow({ where: { id }, include: withNames })
    const { weighing: was } = lotView(before)
    record('lot.receipt-corrected', 'lot', id, {
      number: row.number,
      reason,
      netKg: row.netKg.toFixed(3),
      wasNetKg: before.netKg.toFixed(3),
      wasIngredientId: before.ingredientId,
      wasSupplierId: before.supplierId,
      wasBags: before.bags,
      wasPricePerKg: before.pricePerKg.toFixed(4),
      wasGrossKg: was?.grossKg ?? null,
      wasTareKg: was?.tareKg ?? null,
    })
    return lotView(row)
  },
})
