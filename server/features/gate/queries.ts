import { GatePriceBody, GatePriceView } from '#contract/gate-price'
import { query } from '#platform/query'
import { gatePrice } from './gate-price.js'

/** A question asked by POST, because a truck is more than an address can hold; it keeps nothing. */
export const askGatePrice = query({
  roles: ['manager', 'store-keeper', 'nutritionist'],
  input: GatePriceBody,
  output: GatePriceView,
  run: ({ db, pool, now }, input) => gatePrice({ db, pool, now }, input),
})
