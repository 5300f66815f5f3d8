import { ById } from '#contract/lists'
import { StockChangeView, StockReasonBody } from '#contract/stock'
import { command } from '#platform/command'
import { reverseTransfer } from './reverse-transfer.js'
import { stockChange } from './stock-change.js'

/** A movement of a lot that was typed wrongly is taken back, once, while what it moved is still there. */
export const reverseMovement = command({
  roles: ['manager'],
  params: ById,
  input: StockReasonBody,
  output: StockChangeView,
  async run({ tx, actor, newId, record }, { id, reason }) {
    const { lotId, lotNumber, kind, change } = await reverseTransfer(tx, { id: newId(), reversesId: id, actorId: actor.userId, reason })
    record('stock.reversed', 'stock-transfer', id, { lotNumber, kind, reason })
    return stockChange(tx, lotId, { outcome: 'recorded', difference: change })
  },
})
