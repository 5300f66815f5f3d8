import type { GatePriceBody, GatePriceView } from '#contract/gate-price'
import { asDelivered, type GateFeed } from '#core/formulation/gate-price'
import { checkLot } from '#core/safety/check-lot'
import { worstFirst } from '#core/safety/finding'
import { factsOf } from '#features/formulas/check-mix'
import { prepareMix, type PreparedMix } from '#features/formulas/prepare-mix'
import { limitsOfRow, medicationOfRow } from '#features/formulas/version-view'
import { loadCheckContext } from '#features/lots/lot-safety'
import { bookLots, type MixLot } from '#features/lots/lots-for-mix'
import { loadOfferedLots } from '#features/purchasing/offer-lots'
import type { Db } from '#platform/database/client'
import type { SolverPool } from '#platform/deps'
import { addDays, loadToday } from '#platform/mill-day'
import { loadFeedWanted, type FeedWanted } from './feed-wanted.js'
import { gateView, type Question } from './gate-view.js'
import { dryingLimit, loadTruck, standsAgainst, TRUCK_ID, type Truck } from './truck-lot.js'

type Means = { readonly db: Db; readonly pool: SolverPool; readonly now: Date }

/** As for a cost curve: a request ends after ten seconds. */
const DEADLINE_MS = 8_000
/** After this the steps are told as far as they are known; measured with eleven feeds on a busy machine it was 4 s. */
const BUDGET_MS = 5_000

/** What the mill could buy instead: the offers that would come in time, and at its replacement price what nobody offers. */
const loadShelf = async ({ db, now }: Means, until: string): Promise<{ lots: MixLot[]; suppliers: Map<string, string> }> => {
  const offers = (await loadOfferedLots(db, now)).filter(({ offer }) => offer.arrivesOn <= until)
  const named = new Set(offers.map(({ offer }) => offer.ingredientId))
  const priced = (await bookLots(db)).filter(({ ingredientId }) => !named.has(ingredientId))
  return {
    lots: [...offers.map(({ lot }) => lot), ...priced],
    suppliers: new Map(offers.map(({ offer }) => [offer.id, offer.supplierName])),
  }
}

const prepareFeed = (means: Means, { version, kg }: FeedWanted, beside: readonly MixLot[]): Promise<PreparedMix> =>
  prepareMix(means, {
    stage: version.formula.stage,
    limits: limitsOfRow(version),
    medication: medicationOfRow(version),
    batchKg: kg,
    lots: 'released',
    beside,
  })

type Prepared = { readonly wanted: FeedWanted; readonly mix: PreparedMix }

const prepareFeeds = async (means: Means, wanted: readonly FeedWanted[], beside: readonly MixLot[]): Promise<Prepared[]> => {
  const prepared: Prepared[] = []
  // one after the other: the readings of several people take turns as it is
  for (const one of wanted) prepared.push({ wanted: one, mix: await prepareFeed(means, one, beside) })
  return prepared
}

const solveGate = async (means: Means, truck: Truck, prepared: readonly Prepared[]): Promise<Question['answer']> => {
  const feeds = prepared.map(({ wanted, mix }): GateFeed => ({ id: wanted.version.formulaId, problem: mix.problem.problem }))
  const request = { feeds, truckId: TRUCK_ID, truckKg: truck.mass / 1000, budgetMs: BUDGET_MS }
  const answer = await means.pool.run('gatePrice', request, { deadlineMs: DEADLINE_MS })
  return answer.kind === 'done'
    ? answer.value
    : { kind: 'none', reason: answer.reason === 'time-limit' ? 'time-limit' : 'failed', states: {} }
}

/**
 * What a truck at the gate is worth to the mill at most. It becomes a lot as it would be believed once received, beside what is in store
 * and what could be bought instead, and all feed that is wanted in the next days is made at least cost together. Nothing is written.
 */
export const gatePrice = async (means: Means, input: GatePriceBody): Promise<GatePriceView> => {
  const { db, now } = means
  const today = await loadToday(db, now)
  const arrived = await loadTruck(db, input, today)
  const findings = worstFirst(checkLot(factsOf(arrived.lot), await loadCheckContext(db, now)))
  const driedTo = dryingLimit(findings)
  const truck = driedTo === null ? arrived : arrived.dried(driedTo)
  const days = Math.min(input.days, truck.keeping?.days ?? input.days)
  const until = addDays(today, days)
  const question = { input, arrived, truck, driedTo, days, until, findings }
  if (findings.some(standsAgainst)) return gateView({ ...question, feeds: [], suppliers: new Map(), answer: null }, true)
  const shelf = await loadShelf(means, until)
  const feeds = await prepareFeeds(means, await loadFeedWanted(db, today, days), [truck.lot, ...shelf.lots])
  const answer = feeds.length === 0 ? null : await solveGate(means, truck, feeds)
  const told = answer?.kind === 'priced' ? asDelivered(answer, TRUCK_ID, truck.mass / arrived.mass) : answer
  return gateView({ ...question, feeds, suppliers: shelf.suppliers, answer: told }, false)
}
