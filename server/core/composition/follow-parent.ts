import { followedKnownBy, spreadParts, type KnownValue, type LotValue, type Step } from './lot-value.js'
import { addSpreads, scaleSpread, totalSd, type Spread } from './spread.js'

/** The share of one content in another is never known better than to 3 % (working judgement, no source). */
export const LEAST_RATIO_CV = 0.03

type Following = {
  readonly before: KnownValue
  readonly after: KnownValue
  readonly factor: number
  readonly step: Step
  /** Per cent that the value changes when the parent changes by one per cent; 1 in proportion. */
  readonly elasticity?: number
  /** Standard deviation about the relation as a share of the value; without it, what is left of the value's own when the parent is known. */
  readonly residualCv?: number
}

const relativeSd = (value: KnownValue): number => (value.spread === undefined || value.value <= 0 ? 0 : totalSd(value.spread) / value.value)

/** The scatter of the ratio, split into own and shared like the value's own spread. */
const ratioSpread = (value: KnownValue, spread: Spread, { before, residualCv }: Following): Spread => {
  const own = relativeSd(value)
  const left = Math.sqrt(Math.max(own ** 2 - relativeSd(before) ** 2, LEAST_RATIO_CV ** 2))
  return scaleSpread(spread, (residualCv ?? left) / totalSd(spread))
}

const spreadAfter = (value: KnownValue, newValue: number, following: Following): Spread | undefined => {
  const { before, after, elasticity = 1 } = following
  if (value.spread === undefined || totalSd(value.spread) <= 0) return value.spread
  if (after.value <= 0 || newValue <= 0) return scaleSpread(after.spread ?? { own: 0 }, before.value > 0 ? value.value / before.value : 0)
  const parent = scaleSpread(after.spread ?? { own: 0 }, elasticity / after.value)
  return scaleSpread(addSpreads(parent, ratioSpread(value, value.spread, following)), newValue)
}

/**
 * A value that follows a measured one, e.g. digestible lysine = protein x ratio x digestibility. Its relative variance is that of the
 * parent as it is now plus that of the ratio (error propagation of a product); an unknown or a structural zero stays as it is.
 */
export const followParent = (value: LotValue, following: Following): LotValue => {
  if (value.value === null || value.knownBy === 'structural-zero') return value
  const newValue = value.value * following.factor
  const { sd: _sd, spread: _spread, ...rest } = value
  return {
    ...rest,
    value: newValue,
    knownBy: following.factor === 1 ? value.knownBy : followedKnownBy(value.knownBy),
    ...spreadParts(spreadAfter(value, newValue, following)),
    from: [...value.from, following.step],
  }
}
