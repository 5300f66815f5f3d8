import { ANALYTES, inFirstUnit, isAnalyte, type AnalyteId } from './analytes.js'
import type { Step } from './lot-value.js'
import { analyticalVariation } from './variation.js'

/** One laboratory result of a lot that still stands (superseded results are left out by the caller). `sd` null: not stated. */
export type Assay = {
  readonly analyte: string
  readonly value: number
  readonly unit: string
  readonly belowDetection: boolean
  readonly sd: number | null
  readonly method: string
  readonly laboratory: string
  readonly measuredOn: string
  /** `found`: a test that only says yes or no saw the substance, which is then `value` or more. Missing: a figure. */
  readonly reading?: 'figure' | 'none-found' | 'found' | undefined
}

/** What the results of one analyte say together, in the analyte's first unit. */
export type Result = {
  readonly analyte: AnalyteId
  /** The detection limit when `belowDetection`. */
  readonly value: number
  readonly belowDetection: boolean
  readonly sd?: number
  /** Seen by a test that only says yes or no: `value` or more. */
  readonly atLeast?: true
  /** The single results behind it, each with the spread that its laboratory states. */
  readonly readings: readonly Reading[]
  readonly step: Step
  readonly flag?: Step
}

export type Reading = { readonly value: number; readonly sd: number | null; readonly belowDetection: boolean; readonly assay: Assay }

const readingsOf = (assays: readonly Assay[], analyte: AnalyteId): Reading[] =>
  assays
    .filter((assay) => assay.analyte === analyte)
    .map((assay) => ({
      value: inFirstUnit(analyte, assay.value, assay.unit),
      sd: assay.sd === null ? null : inFirstUnit(analyte, assay.sd, assay.unit),
      belowDetection: assay.belowDetection,
      assay,
    }))

const isPoison = (analyte: AnalyteId): boolean => ANALYTES[analyte].units[0] === 'ug/kg' || analyte === 'urea'

/** The mean, weighted by 1/sd^2 when every result states its spread. */
const meanOf = (readings: readonly Reading[]): { value: number; sd?: number } => {
  const weights = readings.map(({ sd }) => (sd !== null && sd > 0 ? 1 / (sd * sd) : null))
  if (weights.some((weight) => weight === null)) return { value: sum(readings.map(({ value }) => value)) / readings.length }
  const total = sum(weights.map((weight) => weight ?? 0))
  return { value: sum(readings.map(({ value }, i) => value * (weights[i] ?? 0))) / total, sd: Math.sqrt(1 / total) }
}
const sum = (numbers: readonly number[]): number => numbers.reduce((total, number) => total + number, 0)

const stepOf = (code: string, analyte: AnalyteId, readings: readonly Reading[], facts: Step['facts'] = {}): Step => {
  const last = readings.at(-1)?.assay
  return {
    code,
    facts: {
      analyte,
      unit: ANALYTES[analyte].units[0],
      results: readings.length,
      method: last?.method ?? null,
      laboratory: last?.laboratory ?? null,
      measuredOn: last?.measuredOn ?? null,
      ...facts,
    },
  }
}

const worst = (analyte: AnalyteId, readings: readonly Reading[]): Reading | undefined => {
  // A result below detection is worth nothing as a content, and its detection limit as a poison.
  const side = ANALYTES[analyte].worse
  const level = ({ value, belowDetection }: Reading): number => (side === 'low' && belowDetection ? 0 : value)
  return readings.toSorted((a, b) => (side === 'high' ? level(b) - level(a) : level(a) - level(b)))[0]
}

const worseResult = (analyte: AnalyteId, readings: readonly Reading[], flag?: Step): Result | undefined => {
  const used = worst(analyte, readings)
  if (!used) return undefined
  const { value, belowDetection, sd } = used
  const code = belowDetection ? 'below-detection' : flag ? 'worse-of-disagreeing' : 'measured'
  return {
    analyte,
    value,
    belowDetection,
    ...(sd === null ? {} : { sd }),
    ...(used.assay.reading === 'found' ? { atLeast: true as const } : {}),
    readings,
    step: stepOf(code, analyte, readings, { value }),
    ...(flag ? { flag } : {}),
  }
}

/** Flagged when the results are further apart than the published analytical variation, or some saw the substance and some did not. */
const disagreement = (analyte: AnalyteId, readings: readonly Reading[]): Step | undefined => {
  const values = readings.map(({ value }) => value)
  const [low, high] = [Math.min(...values), Math.max(...values)]
  const variation = analyticalVariation(analyte, sum(values) / values.length)
  const mixed = new Set(readings.map(({ belowDetection }) => belowDetection)).size > 1
  if (!mixed && (!variation || high - low <= variation.points + 1e-9)) return undefined
  const facts = { low, high, allowed: variation?.points ?? null, source: variation?.source ?? null, used: ANALYTES[analyte].worse }
  return stepOf('assays-disagree', analyte, readings, facts)
}

/**
 * One test says that there is less of a poison than another found. Samples of one lot differ so much that figures alone are no reason to
 * look again, but "under 10" beside 26 is.
 */
const contradiction = (analyte: AnalyteId, readings: readonly Reading[]): Step | undefined => {
  const under = readings.flatMap(({ value, belowDetection }) => (belowDetection ? [value] : []))
  const found = readings.flatMap(({ value, belowDetection }) => (belowDetection || value === 0 ? [] : [value]))
  const [low, high] = [Math.min(...under), Math.max(...found)]
  if (under.length === 0 || found.length === 0 || high < low) return undefined
  return stepOf('assays-disagree', analyte, readings, { low, high, allowed: null, source: null, used: ANALYTES[analyte].worse })
}

/**
 * The results of one analyte made one. Results that agree are averaged; results that disagree are flagged and the worse one is
 * used; of mould poisons and urea always the worst, because one sample more often misses them than not. No results: undefined.
 */
export const resultOf = (assays: readonly Assay[], analyte: AnalyteId): Result | undefined => {
  const readings = readingsOf(assays, analyte)
  if (readings.length === 0) return undefined
  if (isPoison(analyte) || readings.length === 1) return worseResult(analyte, readings, contradiction(analyte, readings))
  const flag = disagreement(analyte, readings)
  if (flag || readings.some(({ belowDetection }) => belowDetection)) return worseResult(analyte, readings, flag)
  const mean = meanOf(readings)
  const code = mean.sd === undefined ? 'mean-of-assays' : 'weighted-mean-of-assays'
  return { analyte, ...mean, belowDetection: false, readings, step: stepOf(code, analyte, readings, { value: mean.value }) }
}

export const resultsOf = (assays: readonly Assay[]): Partial<Record<AnalyteId, Result>> => {
  const results: Partial<Record<AnalyteId, Result>> = {}
  for (const analyte of new Set(assays.map((assay) => assay.analyte))) {
    if (!isAnalyte(analyte)) continue
    const result = resultOf(assays, analyte)
    if (result) results[analyte] = result
  }
  return results
}
