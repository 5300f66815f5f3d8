import { MixView } from '#contract/formulas'
import { ById } from '#contract/lists'
import { query } from '#platform/query'
import { solveOrder } from './draft-plan.js'
import { plannableOrder } from './plannable-order.js'

/** The mix an order would get if it were planned now. That there is none is an answer too. */
export const getSolution = query({
  roles: ['manager', 'nutritionist', 'counter-clerk'],
  params: ById,
  output: MixView,
  async run({ db, pool, now }, { id }) {
    const { view } = await solveOrder({ db, pool, now }, await plannableOrder(db, id, now))
    return view
  },
})
