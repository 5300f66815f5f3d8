import { ById } from '#contract/lists'
import { StockChangeView, WriteOffLotBody } from '#contract/stock'
import { formatKg, grams } from '#core/quantity/mass'
import { command } from '#platform/command'
import { writeOffFree } from './change-free.js'
import { lockLot, shortOf } from './lock-lot.js'
import { gramsOf } from './post-transfer.js'
import { propose, refuseWhileOneWaits, waitsForSecond } from './propose.js'
import { stockChange, whenOfLot } from './stock-change.js'

/** Spoilt or spilled kilograms of a lot leave the stock as a loss; many of them only when a second person confirms it. */
export const writeOffLot = command({
  roles: ['store-keeper', 'manager'],
  params: ById,
  input: WriteOffLotBody,
  output: StockChangeView,
  async run(ctx, { id, kg: told, happenedAt, reason }) {
    const { tx, actor, now, newId, record } = ctx
    const lot = await lockLot(tx, id)
    const at = whenOfLot('happenedAt', happenedAt, lot, now)
    await refuseWhileOneWaits(tx, lot)
    const kg = gramsOf(told)
    const difference = grams(-kg)
    if (kg > lot.free) throw await shortOf(tx, id, 'kg', kg)
    if (await waitsForSecond(tx, lot, difference)) {
      const proposalNumber = await propose(ctx, lot, { kind: 'write-off', kg, difference, happenedAt: at, reason })
      return stockChange(tx, id, { outcome: 'waiting', difference, proposalNumber })
    }
    await writeOffFree(tx, { id: newId(), happenedAt: at, actorId: actor.userId, reason, lotId: id, kg })
    record('lot.written-off', 'lot', id, { lotNumber: lot.number, kg: formatKg(kg), reason })
    return stockChange(tx, id, { outcome: 'recorded', difference })
  },
})
