import { MixView } from '#contract/formulas'
import { ById } from '#contract/lists'
import { query } from '#platform/query'
import { solveOrder } from './draft-plan.js'
import { plannableOrder } from './plannable-order.js'
import { unmixedPart } from './unmixed-part.js'

/**
 * The mix an order would get if it were planned now; of an order that is planned already, the mix its unbegun loads would get if they were
 * planned again. That there is none is an answer too.
 */
export const getSolution = query({
  roles: ['manager', 'nutritionist', 'counter-clerk'],
  params: ById,
  output: MixView,
  async run({ db, pool, now }, { id }) {
    const { view } = await solveOrder({ db, pool, now }, await unmixedPart(db, await plannableOrder(db, id, now)))
    return view
  },
})
