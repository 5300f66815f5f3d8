import { addSpreads, scaleSpread, totalSd, type Spread } from './spread.js'

/** A normal belief of one content: its mean and how far it may lie from it. */
export type Belief = { readonly mean: number; readonly spread: Spread }

/** What was observed: a value and its error, in the same unit. */
export type Observation = { readonly value: number; readonly error: Spread }

/**
 * The normal-normal update: the mean moves towards the observation by the weight prior variance / (prior variance + error variance),
 * and the variance becomes their product over their sum (Gelman, Carlin, Stern and Rubin, Bayesian Data Analysis, section on the normal
 * mean with known variance). Each part of the spread keeps its key: (1 - weight) of the prior's, weight of the observation's.
 */
export const updateBelief = ({ mean, spread }: Belief, { value, error }: Observation): Belief & { readonly weight: number } => {
  const [prior, noise] = [totalSd(spread) ** 2, totalSd(error) ** 2]
  const weight = prior + noise > 0 ? prior / (prior + noise) : 1
  return {
    mean: mean + weight * (value - mean),
    spread: addSpreads(scaleSpread(spread, 1 - weight), scaleSpread(error, weight)),
    weight,
  }
}

/** Several observations made one: weighted by one over the square of each error. None: undefined. */
export const pooledObservation = (observations: readonly Observation[]): Observation | undefined => {
  const weights = observations.map(({ error }) => 1 / totalSd(error) ** 2)
  const total = weights.reduce((sum, weight) => sum + weight, 0)
  if (observations.length === 0 || !Number.isFinite(total) || total <= 0) return undefined
  const shares = weights.map((weight) => weight / total)
  return {
    value: observations.reduce((sum, { value }, i) => sum + (shares[i] ?? 0) * value, 0),
    error: addSpreads(...observations.map(({ error }, i) => scaleSpread(error, shares[i] ?? 0))),
  }
}

/**
 * Of the variance that a table prints, a quarter is how far the mean of what this mill buys may lie from the table's mean: all lots of
 * the ingredient share it. From `nutrient_sd.csv`: the means of maize protein of four origins lie 0.23 points apart, lots of one origin
 * 0.37, so the origin is 0.23^2 / (0.23^2 + 0.37^2) = 27 % of the variance of unsorted lots.
 */
export const BOOK_SHARE_OF_VARIANCE = 0.25

/** The belief before anything is known of a lot: the book's mean and between-lot deviation, split into what is shared and the lot's own. */
export const bookBelief = (mean: number, sd: number, ingredientKey: string): Belief => ({
  mean,
  spread: {
    own: sd * Math.sqrt(1 - BOOK_SHARE_OF_VARIANCE),
    shared: { [`book/${ingredientKey}`]: sd * Math.sqrt(BOOK_SHARE_OF_VARIANCE) },
  },
})

/** The mean of a supplier's earlier lots of one ingredient for one nutrient, and how many lots it is the mean of. */
export type RecordMean = { readonly mean: number; readonly lots: number }

/**
 * The belief of the next lot of a supplier: the mean of what this supplier delivers is between the book's and that of its earlier lots,
 * the nearer to the latter the more there are (normal-normal on the supplier's mean; each earlier lot lies from it by the lot's own
 * deviation). What the lot itself varies stays; what is uncertain of the mean narrows.
 */
export const towardsRecord = ({ mean, spread }: Belief, record: RecordMean, supplierKey: string): Belief & { readonly weight: number } => {
  const ofMean = updateBelief(
    { mean, spread: { own: 0, shared: spread.shared } },
    { value: record.mean, error: { own: 0, shared: { [supplierKey]: spread.own / Math.sqrt(record.lots) } } },
  )
  return { mean: ofMean.mean, spread: { own: spread.own, shared: ofMean.spread.shared }, weight: ofMean.weight }
}
