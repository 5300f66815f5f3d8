import { formulate } from './formulate.js'
import { jointFeeds, jointSolver, largestShare, type GateFeed, type JointFeeds } from './gate-price-feeds.js'
import type { LinearSolver } from './linear-program.js'
import { piecesBetween, type Piece, type Sample, type SampleAt } from './parametric-pieces.js'
import type { AnySolver } from './solve-statement.js'

export type { GateFeed } from './gate-price-feeds.js'

/** A lot at the gate that stands in the problems of the feeds under `truckId`, with its mass as the most there is of it. */
export type GateRequest = { readonly feeds: readonly GateFeed[]; readonly truckId: string; readonly truckKg: number }

/**
 * Whether a feed counts. `only-with-truck`: without this truck it cannot be made at all, so that no price of the truck follows from it;
 * `impossible`: not with it either.
 */
export type FeedState = 'counted' | 'only-with-truck' | 'impossible'

type KgByLot = { readonly [lot: string]: number }

/** Between two prices a kilogram the mill would use so much of the truck. */
export type GateStep = {
  readonly fromPrice: number
  readonly toPrice: number
  readonly kg: number
  /** One cheapest way to make each feed there, by feed and lot. */
  readonly feeds: { readonly [feed: string]: KgByLot }
}

export type GatePrice =
  | {
      readonly kind: 'priced'
      readonly states: { readonly [feed: string]: FeedState }
      /** How much of each feed can be made without the truck; for so much the price is worked out. 1: all that is wanted. */
      readonly share: number
      /** From price nothing upwards; use falls from step to step, and the last uses nothing. */
      readonly steps: readonly GateStep[]
      /** Highest price at which the whole truck, half of it, any of it is still used; null: at no price. */
      readonly whole: number | null
      readonly half: number | null
      readonly breakEven: number | null
      /** What the truck would spare the mill if it were a gift, a kilogram: as much as it may cost where it is all or nothing. */
      readonly average: number
      /** Whether every break point is exact; under certainty limits, and where time was short, they are near. */
      readonly exact: boolean
    }
  | {
      readonly kind: 'none'
      readonly reason: 'no-feed' | 'failed'
      readonly states: { readonly [feed: string]: FeedState }
    }

const MOST_SAMPLES = 200
/** As in `parametric-price.ts`: certainty bends the curve, and straight lines stay this near to it. */
const CURVED = { mostSamples: 30, sameCost: 1e-5 }
/** A share that is reached exactly leaves no way to move; this much of it is left out. */
const HAIR = 1e-6
/** Use this near to nothing or to the whole, as a share of the truck, is that. */
const SAME_USE = 1e-6
/** A price beyond every ingredient's by so many doublings has no meaning any more. */
const MOST_DOUBLINGS = 24

const withoutLot = ({ problem }: GateFeed, lot: string) => ({ ...problem, ingredients: problem.ingredients.filter(({ id }) => id !== lot) })

function stateOf(feed: GateFeed, truckId: string, solver: AnySolver): FeedState | 'failed' {
  const without = formulate(withoutLot(feed, truckId), solver)
  if (without.status === 'optimal') return 'counted'
  if (without.status === 'failed') return 'failed'
  const found = formulate(feed.problem, solver)
  if (found.status === 'failed') return 'failed'
  return found.status === 'optimal' ? 'only-with-truck' : 'impossible'
}

type Asked = {
  readonly joint: JointFeeds
  readonly request: GateRequest
  readonly share: number
  readonly solver: LinearSolver
  readonly mayGoOn: () => boolean
}

/** Solves at one price of the truck; the slope is what is used of it. Every sample is kept: its mix is the cheapest wherever its slope holds. */
function priceSampler({ joint, request, share, solver }: Asked): { readonly sampleAt: SampleAt; readonly samples: readonly Sample[] } {
  const truck = joint.columns.map(({ lot }) => lot === request.truckId)
  const solve = jointSolver(joint, share, solver)
  const samples: Sample[] = []
  const sampleAt = (at: number): Sample | null => {
    const outcome = solve(joint.costs.map((cost, i) => (truck[i] ? at : cost)))
    if (outcome.kind !== 'optimal') return null
    const amounts = outcome.x
    const sample = { at, cost: outcome.objective, slope: amounts.reduce((sum, kg, i) => (truck[i] ? sum + kg : sum), 0), amounts }
    samples.push(sample)
    return sample
  }
  return { sampleAt, samples }
}

/** A sample at a price at which nothing of the truck is used any more. */
function beyond({ joint, request }: Asked, sampleAt: SampleAt): Sample | null {
  let at = 2 * Math.max(1, ...joint.costs.map(Math.abs))
  for (let i = 0; i < MOST_DOUBLINGS; i += 1, at *= 2) {
    const sample = sampleAt(at)
    if (sample === null || sample.slope <= SAME_USE * request.truckKg) return sample
  }
  return null
}

/** Where no more can be solved: no cost lies above any tangent, so that the lowest of them stands for the cost, and use still falls from step to step. */
const onTangents = (samples: readonly Sample[], at: number): Sample | null => {
  const height = (one: Sample): number => one.cost + one.slope * (at - one.at)
  const lowest = samples.reduce<Sample | null>((so, one) => (so === null || height(one) < height(so) ? one : so), null)
  return lowest && { ...lowest, at, cost: height(lowest) }
}

const snapped = (kg: number, whole: number): number => (kg <= SAME_USE * whole ? 0 : kg >= (1 - SAME_USE) * whole ? whole : kg)

const byFeed = ({ columns }: JointFeeds, amounts: readonly number[]): GateStep['feeds'] => {
  const feeds: { [feed: string]: { [lot: string]: number } } = {}
  for (const [i, { feed, lot }] of columns.entries()) {
    const kg = amounts[i] ?? Number.NaN
    if (kg > 0) (feeds[feed] ??= {})[lot] = kg
  }
  return feeds
}

/** Where two stretches meet several mixes cost the same; the one that uses what a stretch uses is the cheapest all along it. */
const stepOf = ({ joint, request }: Asked, { from, to, slope }: Piece, samples: readonly Sample[]): GateStep => {
  const own = samples
    .filter(({ at }) => at >= from.at && at <= to.at)
    .reduce((best, one) => (Math.abs(one.slope - slope) < Math.abs(best.slope - slope) ? one : best), from)
  return { fromPrice: from.at, toPrice: to.at, kg: snapped(slope, request.truckKg), feeds: byFeed(joint, own.amounts) }
}

/** What is used of the truck at a price. Where two steps meet it is the larger use, which costs no more. */
export const stepAt = (steps: readonly GateStep[], price: number): GateStep | null => steps.find(({ toPrice }) => price <= toPrice) ?? null

/** The highest price at which at least so much is used; null: at none. */
export const highestPrice = (steps: readonly GateStep[], kg: number): number | null =>
  steps.filter((step) => step.kg > 0 && step.kg >= kg).at(-1)?.toPrice ?? null

function priced(asked: Asked, states: GatePrice['states']): GatePrice {
  const { joint, request, share } = asked
  const { truckKg } = request
  const { sampleAt, samples } = priceSampler(asked)
  const first = sampleAt(0)
  const last = first && beyond(asked, sampleAt)
  if (!first || !last) return { kind: 'none', reason: 'failed', states }
  const curved = joint.certain.length > 0
  const { mostSamples, sameCost } = curved ? CURVED : { mostSamples: MOST_SAMPLES, sameCost: undefined }
  let inTime = true
  const between: SampleAt = (at) => {
    if (asked.mayGoOn()) return sampleAt(at)
    inTime = false
    return onTangents(samples, at)
  }
  const found = piecesBetween(first, last, between, mostSamples, sameCost)
  const steps = found.pieces.map((piece) => stepOf(asked, piece, samples))
  return {
    kind: 'priced',
    states,
    share,
    steps,
    whole: highestPrice(steps, truckKg),
    half: highestPrice(steps, truckKg / 2),
    breakEven: highestPrice(steps, 0),
    average: steps.reduce((sum, { fromPrice, toPrice, kg }) => sum + kg * (toPrice - fromPrice), 0) / truckKg,
    exact: inTime && found.exact && !curved,
  }
}

/**
 * What a lot at the gate is worth to the mill: the cheapest way to make all feeds together, from stock that they share, as the price of
 * that lot runs from nothing upwards. The cost is a concave piecewise linear function of the price and its slope the kilograms used, so
 * the break points are exact prices (parametric programming as in `parametric-price.ts`). `mayGoOn` false: no more break points are looked
 * for, and the steps are near.
 */
export function gatePrice(request: GateRequest, solver: AnySolver, mayGoOn: () => boolean = () => true): GatePrice {
  const { feeds, truckId } = request
  const found = feeds.map((feed) => ({ feed, state: stateOf(feed, truckId, solver) }))
  const states = Object.fromEntries(found.flatMap(({ feed, state }) => (state === 'failed' ? [] : [[feed.id, state] as const])))
  if (found.some(({ state }) => state === 'failed')) return { kind: 'none', reason: 'failed', states }
  const counted = found.filter(({ state }) => state === 'counted').map(({ feed }) => feed)
  if (counted.length === 0) return { kind: 'none', reason: 'no-feed', states }
  const joint = jointFeeds(counted)
  const largest = largestShare(joint, truckId, solver)
  if (largest === null) return { kind: 'none', reason: 'failed', states }
  const share = largest >= 1 - HAIR ? 1 : largest * (1 - HAIR)
  return priced({ joint, request, share, solver, mayGoOn }, states)
}

/**
 * The same answer for a lot that loses water before it is used: of every kilogram as it came `left` kilograms are left, so that a price is
 * `left` times as much and kilograms of the truck are as many more.
 */
export function asDelivered(answer: GatePrice, truckId: string, left: number): GatePrice {
  if (answer.kind === 'none') return answer
  const price = (value: number | null) => (value === null ? null : value * left)
  const wet = (lots: KgByLot): KgByLot => {
    const kg = lots[truckId]
    return kg === undefined ? lots : { ...lots, [truckId]: kg / left }
  }
  return {
    ...answer,
    steps: answer.steps.map(({ fromPrice, toPrice, kg, feeds }) => ({
      fromPrice: fromPrice * left,
      toPrice: toPrice * left,
      kg: kg / left,
      feeds: Object.fromEntries(Object.entries(feeds).map(([feed, lots]) => [feed, wet(lots)])),
    })),
    whole: price(answer.whole),
    half: price(answer.half),
    breakEven: price(answer.breakEven),
    average: answer.average * left,
  }
}

/** `part`: at no price is the whole of it used, but at this one some is. */
export type GateVerdict = 'take' | 'offer' | 'part' | 'not-wanted'

/** What to answer the driver who asks a price a kilogram. */
export const gateVerdict = (
  { whole, breakEven }: Pick<Extract<GatePrice, { kind: 'priced' }>, 'whole' | 'breakEven'>,
  asked: number,
): GateVerdict => {
  if (whole !== null) return asked <= whole ? 'take' : 'offer'
  return breakEven !== null && asked <= breakEven ? 'part' : 'not-wanted'
}
