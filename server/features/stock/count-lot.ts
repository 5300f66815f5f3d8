import { ById } from '#contract/lists'
import { CountLotBody, StockChangeView } from '#contract/stock'
import { command } from '#platform/command'
import { lockLot } from './lock-lot.js'
import { gramsOf } from './post-transfer.js'
import { propose, refuseWhileOneWaits, waitsForSecond } from './propose.js'
import { compareCount } from './put-count.js'
import { recordCount } from './record-count.js'
import { stockChange, whenOfLot } from './stock-change.js'

/**
 * What was counted of a lot, against the books of that moment. The difference goes to `unexplained`; a large one waits for a second
 * person and nothing moves until then.
 */
export const countLot = command({
  roles: ['store-keeper', 'manager'],
  params: ById,
  input: CountLotBody,
  output: StockChangeView,
  async run(ctx, { id, countedKg, countedAt, reason }) {
    const { tx, actor, now } = ctx
    const lot = await lockLot(tx, id)
    const at = whenOfLot('countedAt', countedAt, lot, now)
    await refuseWhileOneWaits(tx, lot)
    const kg = gramsOf(countedKg)
    const counted = await compareCount(tx, lot, kg, at)
    if (await waitsForSecond(tx, lot, counted.change)) {
      const proposalNumber = await propose(ctx, lot, { kind: 'count', kg, difference: counted.change, happenedAt: at, reason })
      return stockChange(tx, id, { outcome: 'waiting', difference: counted.change, proposalNumber })
    }
    const { discrepancyNumber } = await recordCount(ctx, lot, counted, { countedAt: at, countedBy: actor.userId, reason })
    const outcome = counted.change === 0 ? 'agrees' : 'recorded'
    return stockChange(tx, id, { outcome, difference: counted.taken, missing: counted.missing, discrepancyNumber })
  },
})
