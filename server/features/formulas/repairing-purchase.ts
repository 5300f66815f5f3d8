import type { ExplanationView, PurchaseView } from '#contract/solving'
import { mixProblem } from '#core/formulation/mix-problem'
import type { Offer as CoreOffer, Purchase, Repair } from '#core/formulation/repair'
import { formatKg, grams, gramsFromFloatKg, parseKg, type Grams } from '#core/quantity/mass'
import { costOf, formatMoney, parsePricePerKg, sumCents } from '#core/quantity/money'
import { bookLots, type MixLot } from '#features/lots/lots-for-mix'
import { loadOfferedLots, type BuyableOffer } from '#features/purchasing/offer-lots'
import type { Db } from '#platform/database/client'
import type { SolverPool } from '#platform/deps'
import { plainDate } from '#platform/mill-day'
import { askedOf, describeLimit } from './describe-limit.js'
import { decidingPrice, prepareMix, type PreparedMix, type SolveRequest } from './prepare-mix.js'

type Means = { readonly db: Db; readonly pool: SolverPool; readonly now: Date }
/** `neededOn`: the day the goods must be there, where it is known. */
export type NeededRequest = SolveRequest & { readonly neededOn?: string | null }
type Told = Pick<ExplanationView, 'purchase' | 'noPurchase'>
type Item = PurchaseView['items'][number]
type Found = Extract<Repair, { kind: 'purchase' }>

const NOT_ASKED: Told = { purchase: null, noPurchase: null }

/** What nobody offers is bought by the kilogram, rounded up to this: nobody sells 139.83 kg. Common practice, no source. */
const WHOLE_GRAMS = 1_000

/** What can be bought: lots that the offers of today would bring, and lots at replacement prices of what nobody offers. */
type Shelf = {
  readonly lots: readonly MixLot[]
  readonly offers: ReadonlyMap<string, BuyableOffer>
  readonly pricedOn: ReadonlyMap<string, string>
}

const openShelf = async ({ db, now }: Means): Promise<Shelf> => {
  const offered = await loadOfferedLots(db, now)
  const named = new Set(offered.map(({ offer }) => offer.ingredientId))
  const priced = (await bookLots(db)).filter(({ ingredientId }) => !named.has(ingredientId))
  const days = await db.ingredient.findMany({
    where: { replacementPriceOn: { not: null } },
    select: { id: true, replacementPriceOn: true },
  })
  return {
    lots: [...offered.map(({ lot }) => lot), ...priced],
    offers: new Map(offered.map(({ offer }) => [offer.id, offer])),
    pricedOn: new Map(days.flatMap(({ id, replacementPriceOn: on }) => (on === null ? [] : [[id, plainDate(on)] as const]))),
  }
}

const coreOffer = (lotId: string, offer: BuyableOffer | undefined): CoreOffer =>
  offer === undefined ? { ingredientId: lotId } : { ingredientId: lotId, packKg: Number(offer.packKg), fewestPacks: offer.fewestPacks }

const massOf = ({ kg, packs }: Purchase, offer: BuyableOffer | undefined): Grams =>
  offer === undefined || packs === null
    ? gramsFromFloatKg((Math.ceil((kg * 1000) / WHOLE_GRAMS) * WHOLE_GRAMS) / 1000)
    : grams(parseKg(offer.packKg) * packs)

const offerTold = ({ packs }: Purchase, offer: BuyableOffer | undefined): Item['offer'] => {
  if (offer === undefined || packs === null) return null
  const { id, number, supplierId, supplierName, packKg, validUntil, arrivesOn } = offer
  return { id, number, supplierId, supplierName, packs, packKg, validUntil, arrivesOn }
}

/** One thing to buy in exact kilograms and money, and what the mix leaves of it. */
const itemOf = (bought: Purchase, lot: MixLot, { offers, pricedOn }: Shelf, amounts: Found['amounts']) => {
  const offer = offers.get(lot.id)
  const mass = massOf(bought, offer)
  const used = gramsFromFloatKg(amounts[lot.id] ?? 0)
  const pricePerKg = decidingPrice(lot)
  const cost = costOf(mass, parsePricePerKg(pricePerKg))
  const { ingredientId, ingredientNameEn, ingredientNameSw } = lot
  const view: Item = {
    ingredientId,
    ingredientNameEn,
    ingredientNameSw,
    kg: formatKg(mass),
    leftKg: formatKg(grams(Math.max(0, mass - used))),
    pricePerKg,
    cost: formatMoney(cost),
    offer: offerTold(bought, offer),
    pricedOn: offer === undefined ? (pricedOn.get(ingredientId) ?? null) : null,
  }
  return { view, cost }
}

const purchaseOf = (found: Found, lots: readonly MixLot[], shelf: Shelf, neededOn: string | null): PurchaseView => {
  const known = new Map(lots.map((lot) => [lot.id, lot]))
  const items = found.purchases.flatMap((bought) => {
    const lot = known.get(bought.ingredientId)
    return lot === undefined ? [] : [itemOf(bought, lot, shelf, found.amounts)]
  })
  const arrivesOn =
    items
      .flatMap(({ view }) => view.offer?.arrivesOn ?? [])
      .sort()
      .at(-1) ?? null
  return {
    items: items.map(({ view }) => view),
    total: formatMoney(sumCents(items.map(({ cost }) => cost))),
    arrivesOn,
    neededOn,
    late: arrivesOn === null || neededOn === null ? null : arrivesOn > neededOn,
    proven: found.proven,
  }
}

const none = (reason: NonNullable<Told['noPurchase']>['reason'], limits: NonNullable<Told['noPurchase']>['limits'] = []): Told => ({
  purchase: null,
  noPurchase: { reason, limits },
})

/**
 * The cheapest purchase that makes a mix possible, beside what is in store: whole packs out of the offers that stand today, believed as the
 * supplier's next lot; and what nobody offers at its replacement price with book contents. Not looked for where book lots were asked for anyhow.
 */
export const repairingPurchase = async (means: Means, request: NeededRequest, inStore: PreparedMix): Promise<Told> => {
  if (request.lots === 'book') return NOT_ASKED
  const shelf = await openShelf(means)
  const own = { ...request, lots: 'none' as const, beside: shelf.lots, prices: pricesBeside(request, shelf) }
  const offered = await prepareMix(means, own)
  if (offered.counted.length === 0) return none('nothing-to-buy')
  const all = mixProblem({ batchKg: Number(inStore.batchKg), lots: [...inStore.counted, ...offered.counted], limits: inStore.limits })
  const offers = offered.counted.map(({ id }) => coreOffer(id, shelf.offers.get(id)))
  const answer = await means.pool.run('repair', { problem: all.problem, offers })
  if (answer.kind === 'failed') return none('failed')
  if (answer.value.kind === 'purchase')
    return { purchase: purchaseOf(answer.value, offered.lots, shelf, request.neededOn ?? null), noPurchase: null }
  if (answer.value.reason === 'failed') return none('failed')
  const asked = askedOf({ ...inStore, lots: [...inStore.lots, ...offered.lots] })
  return none(
    'not-enough',
    (answer.value.conflict ?? []).map((row) => ({ ...describeLimit(row, asked) })),
  )
}

/** A price that is tried out stands for the mill's own guess; a supplier's offer stays what it is. */
const pricesBeside = ({ prices }: SolveRequest, { offers }: Shelf): SolveRequest['prices'] => {
  const named = new Set([...offers.values()].map(({ ingredientId }) => ingredientId))
  return prices?.filter(({ ingredientId }) => !named.has(ingredientId))
}
