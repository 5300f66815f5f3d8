import { LotView, ReceiveDeliveryBody } from '#contract/lots'
import { enterSheet } from '#features/sheets/enter-sheet'
import { receiveIntoStock } from '#features/stock/ledger'
import { command } from '#platform/command'
import { lotView, withNames } from './lot-view.js'
import { deliveryOf } from './receive-facts.js'

export const receiveLot = command({
  roles: ['store-keeper', 'manager'],
  input: ReceiveDeliveryBody,
  output: LotView,
  status: 201,
  async run(ctx, { sheet, ...input }) {
    const { tx, actor, now, newId, record } = ctx
    const delivery = await deliveryOf(tx, input, now)
    const id = newId()
    await tx.lot.create({ data: { ...delivery, id, enteredAt: now, receivedBy: actor.userId } })
    const { supplierId, netKg, receivedAt } = input
    const happenedAt = new Date(receivedAt)
    await receiveIntoStock(tx, { id: newId(), lotId: id, supplierId, kg: netKg, happenedAt, actorId: actor.userId })
    const row = await tx.lot.findUniqueOrThrow({ where: { id }, include: withNames })
    if (sheet !== null) await enterSheet(ctx, { sheet, kind: 'receiving', at: happenedAt, atPath: 'receivedAt' }, { lotId: id })
    record('lot.received', 'lot', id, { number: row.number, ingredientId: row.ingredientId, netKg: row.netKg.toFixed(3) })
    return lotView(row)
  },
})
