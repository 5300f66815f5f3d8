import type { ExplanationView } from '#contract/solving'
import { mixProblem } from '#core/formulation/mix-problem'
import { formatKg, gramsFromFloatKg } from '#core/quantity/mass'
import { costOf, formatMoney, parsePricePerKg, sumCents } from '#core/quantity/money'
import type { Db } from '#platform/database/client'
import type { SolverPool } from '#platform/deps'
import { decidingPrice, prepareMix, type PreparedMix, type SolveRequest } from './prepare-mix.js'

type Means = { readonly db: Db; readonly pool: SolverPool; readonly now: Date }

/** What is offered is bought by the kilogram, rounded up to this: nobody sells 139.83 kg. Common practice, no source. */
const WHOLE_GRAMS = 1_000

/**
 * The cheapest purchase that makes a mix possible: the ingredients that have a replacement price, at that price and with book contents,
 * beside what is in store. Null where book lots were asked for anyhow, or no purchase would do.
 */
export const repairingPurchase = async (
  means: Means,
  request: SolveRequest,
  inStore: PreparedMix,
): Promise<ExplanationView['purchase']> => {
  if (request.lots === 'book') return null
  const offered = await prepareMix(means, { ...request, lots: 'book' })
  const all = mixProblem({ batchKg: Number(inStore.batchKg), lots: [...inStore.counted, ...offered.counted], limits: inStore.limits })
  const offers = offered.counted.map(({ id }) => ({ ingredientId: id }))
  const answer = await means.pool.run('repair', { problem: all.problem, offers })
  if (answer.kind === 'failed' || answer.value.kind === 'none') return null
  const known = new Map(offered.lots.map((lot) => [lot.id, lot]))
  const items = answer.value.purchases.flatMap(({ ingredientId: lotId, kg }) => {
    const lot = known.get(lotId)
    if (lot === undefined) return []
    const grams = gramsFromFloatKg((Math.ceil((kg * 1000) / WHOLE_GRAMS) * WHOLE_GRAMS) / 1000)
    const { ingredientId, ingredientNameEn, ingredientNameSw } = lot
    const cost = costOf(grams, parsePricePerKg(decidingPrice(lot)))
    return [
      {
        cost,
        view: {
          ingredientId,
          ingredientNameEn,
          ingredientNameSw,
          kg: formatKg(grams),
          pricePerKg: decidingPrice(lot),
          cost: formatMoney(cost),
        },
      },
    ]
  })
  return { items: items.map(({ view }) => view), total: formatMoney(sumCents(items.map(({ cost }) => cost))) }
}
