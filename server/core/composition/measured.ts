import { ANALYTES } from './analytes.js'
import { assayErrorOf, samplingSd, type AssayErrorRow } from './assay-error.js'
import type { Reading, Result } from './assays.js'
import { pooledObservation, updateBelief, type Observation } from './belief.js'
import { spreadParts, type KnownValue, type LotValue, type Step } from './lot-value.js'
import { addSpreads, totalSd, type Spread } from './spread.js'

export type Measuring = {
  readonly errors: readonly AssayErrorRow[]
  /** Between-lot deviation of the content, by which a sample may lie from its lot; missing: a tenth of the value. */
  readonly betweenLotSd: number | undefined
}

export const laboratoryKey = (laboratory: string): string => `laboratory/${laboratory}`

const errorOf = ({ value, sd, assay }: Reading, { errors, betweenLotSd }: Measuring): Spread | undefined => {
  const published = assayErrorOf(errors, assay.analyte, value, assay.method)
  // What the laboratory states of its own result goes before the table.
  const within = sd !== null && sd > 0 ? sd : published?.repeatabilitySd
  if (within === undefined) return undefined
  if (!published) return { own: within }
  const own = Math.hypot(within, samplingSd(betweenLotSd ?? 0.1 * value))
  return { own, shared: { [laboratoryKey(assay.laboratory)]: published.laboratorySd } }
}

/** Results of one laboratory: their mean, whose own error narrows with their number and whose bias does not. */
const ofLaboratory = (readings: readonly Observation[]): Observation => {
  const n = readings.length
  const value = readings.reduce((sum, reading) => sum + reading.value / n, 0)
  const own = Math.hypot(...readings.map(({ error }) => error.own)) / n
  return { value, error: { own, ...(readings[0]?.error.shared ? { shared: readings[0].error.shared } : {}) } }
}

/** All results of one content as one observation; undefined where neither a table nor the laboratory says how far they err. */
export const observationOf = (result: Result, measuring: Measuring): Observation | undefined => {
  const byLaboratory = new Map<string, Observation[]>()
  for (const reading of result.readings) {
    const error = errorOf(reading, measuring)
    if (!error) return undefined
    const known = byLaboratory.get(reading.assay.laboratory) ?? []
    byLaboratory.set(reading.assay.laboratory, [...known, { value: reading.value, error }])
  }
  // Without a bias to share, results are weighted one by one.
  const groups = [...byLaboratory.values()].flatMap((group) => (group.some(({ error }) => error.shared) ? [ofLaboratory(group)] : group))
  return pooledObservation(groups)
}

const updatedStep = (result: Result, facts: Step['facts']): Step => {
  const { method = null, laboratory = null, measuredOn = null } = result.step.facts
  return { code: 'belief-updated', facts: { method, laboratory, measuredOn, ...facts } }
}

const bookPart = (old: LotValue): { bookValue?: number } => (old.bookValue === undefined ? {} : { bookValue: old.bookValue })

/** Below detection it is worth nothing towards a minimum; it lies anywhere between nothing and the limit (even distribution). */
const belowDetection = (result: Result, old: LotValue): KnownValue => ({
  value: ANALYTES[result.analyte].worse === 'low' ? 0 : result.value,
  knownBy: 'below-detection',
  ...spreadParts({ own: result.value / Math.sqrt(12) }),
  ...bookPart(old),
  from: [...old.from, result.step],
})

/** The result as it stands: where nothing was believed before, where results disagree (never averaged), or where no error is known. */
const asItStands = (result: Result, old: LotValue, error: Spread | undefined): KnownValue => ({
  value: result.value,
  knownBy: 'measured',
  ...(error ? spreadParts(error) : result.sd === undefined ? {} : { sd: result.sd }),
  ...bookPart(old),
  from: [...old.from, result.step],
})

const disagreementSpread = (result: Result, measuring: Measuring): Spread | undefined => {
  const values = result.readings.map(({ value }) => value)
  const used = result.readings.find(({ value }) => value === result.value)
  const error = used && errorOf(used, measuring)
  return error && addSpreads(error, { own: (Math.max(...values) - Math.min(...values)) / 2 })
}

/**
 * A content after its results: the belief before, updated by them (normal-normal). Results that disagree are not averaged: the worse
 * one stands, and half their difference widens it.
 */
export const measuredValue = (result: Result, old: LotValue, measuring: Measuring): KnownValue => {
  if (result.belowDetection) return belowDetection(result, old)
  if (result.flag) return asItStands(result, old, disagreementSpread(result, measuring))
  const observed = observationOf(result, measuring)
  if (!observed || old.value === null || old.spread === undefined) return asItStands(result, old, observed?.error)
  const belief = updateBelief({ mean: old.value, spread: old.spread }, observed)
  const facts = {
    before: old.value,
    measured: observed.value,
    value: belief.mean,
    weightPct: 100 * belief.weight,
    errorSd: totalSd(observed.error),
    sd: totalSd(belief.spread),
  }
  return {
    value: belief.mean,
    knownBy: 'measured',
    ...spreadParts(belief.spread),
    ...bookPart(old),
    from: [...old.from, result.step, updatedStep(result, facts)],
  }
}
