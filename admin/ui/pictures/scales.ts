/** Where a value stands on a line, as a share of its width from 0 to 100. */
export type Scale = (value: number) => number

const between = (low: number, high: number): Scale => {
  const span = high - low || 1
  return (value) => Math.min(100, Math.max(0, ((value - low) / span) * 100))
}

/** A straight scale over the values, with room on each side as a share of their span. */
export const straightScale = (values: readonly number[], room: { before: number; after: number }): Scale => {
  const low = Math.min(...values)
  const high = Math.max(...values)
  const span = high - low || Math.abs(high) || 1
  return between(low - span * room.before, high + span * room.after)
}

// One trace amino acid at ten times the price of grain would press all other ranges into a corner of a straight scale.
const STRAIGHT_UP_TO = 8
const ROOM = 0.04

export type PriceScale = {
  readonly at: Scale
  /** Equal distances are equal proportions. */
  readonly proportional: boolean
  readonly ticks: readonly number[]
}

const STEPS = [1, 2, 5]
const roundStep = (least: number): number => {
  const power = 10 ** Math.floor(Math.log10(least))
  return [...STEPS, 10].map((step) => step * power).find((step) => step >= least * 0.999999) ?? least
}

const evenTicks = (low: number, high: number): number[] => {
  const step = roundStep((high - low || 1) / 5)
  const first = Math.ceil(low / step)
  return Array.from({ length: Math.max(0, Math.floor(high / step) - first + 1) }, (_, index) => (first + index) * step)
}

const proportionalTicks = (low: number, high: number): number[] => {
  const first = Math.floor(Math.log10(low))
  const decades = Math.ceil(Math.log10(high)) - first + 1
  return Array.from({ length: decades }, (_, index) => STEPS.map((step) => step * 10 ** (first + index)))
    .flat()
    .filter((tick) => tick >= low && tick <= high)
}

/** One scale for the prices of all ingredients: straight, or proportional where the dearest costs many times the cheapest. */
export const priceScale = (prices: readonly number[]): PriceScale => {
  const positive = prices.filter((price) => price > 0)
  const low = positive.length > 0 ? Math.min(...positive) : 0
  const high = positive.length > 0 ? Math.max(...positive) : 1
  if (low === 0 || high / low <= STRAIGHT_UP_TO) {
    return { at: straightScale([low, high], { before: ROOM, after: ROOM }), proportional: false, ticks: evenTicks(low, high) }
  }
  const logarithms = straightScale([Math.log10(low), Math.log10(high)], { before: ROOM, after: ROOM })
  return { at: (price) => (price > 0 ? logarithms(Math.log10(price)) : 0), proportional: true, ticks: proportionalTicks(low, high) }
}

/** Which of some places can bear a label without touching another: the earlier ones choose first. */
export const roomyOf = (places: readonly number[], apart: number): ReadonlySet<number> => {
  const taken: number[] = []
  const kept = new Set<number>()
  places.forEach((place, index) => {
    if (taken.some((other) => Math.abs(other - place) < apart)) return
    taken.push(place)
    kept.add(index)
  })
  return kept
}
