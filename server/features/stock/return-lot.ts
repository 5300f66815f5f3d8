import { ById } from '#contract/lists'
import { ReturnLotBody, StockChangeView } from '#contract/stock'
import { MillError } from '#core/errors'
import { formatKg, grams } from '#core/quantity/mass'
import { command } from '#platform/command'
import { returnFree } from './change-free.js'
import { lockLot } from './lock-lot.js'
import { gramsOf } from './post-transfer.js'
import { stockChange, whenOfLot } from './stock-change.js'

/** Kilograms of a lot go back to the supplier who brought them, whatever the lot's state: only those that nobody has set aside. */
export const returnLot = command({
  roles: ['store-keeper', 'manager'],
  params: ById,
  input: ReturnLotBody,
  output: StockChangeView,
  async run({ tx, actor, now, newId, record }, { id, kg: told, happenedAt, reason }) {
    const lot = await lockLot(tx, id)
    // What the mill made itself has nobody to go back to.
    if (lot.madeBy !== null) throw new MillError('wrong-state', { lotNumber: lot.number, madeBy: lot.madeBy })
    const at = whenOfLot('happenedAt', happenedAt, lot, now)
    const kg = gramsOf(told)
    const { supplierId } = lot
    await returnFree(tx, { id: newId(), happenedAt: at, actorId: actor.userId, reason, lotId: id, supplierId, kg })
    record('lot.returned', 'lot', id, { lotNumber: lot.number, kg: formatKg(kg), supplierId, reason })
    return stockChange(tx, id, { outcome: 'recorded', difference: grams(-kg) })
  },
})
