import { ANALYTES, isAnalyte, type AnalyteId } from './analytes.js'

/** A published error of analysis, for results between two levels. Exactly one of the figures in points or in per cent of the result. */
export type AssayErrorRow = {
  /** `any`: where no row names the analyte. */
  readonly analyte: AnalyteId | 'any'
  readonly method: 'chemical' | 'near-infrared'
  readonly fromPct: number
  /** Up to and with this level. */
  readonly toPct: number
  readonly figure: 'repeatability' | 'reproducibility'
  readonly sdPoints: number | null
  readonly cvPct: number | null
  readonly source: string
  readonly read: boolean
}

export type AssayError = {
  /** Of one result of one sample in one laboratory, in percentage points. */
  readonly repeatabilitySd: number
  /** What all results of one laboratory err by together: between laboratories, less within. */
  readonly laboratorySd: number
  readonly source: string
}

/** A published repeatability limit is the difference that 95 of 100 pairs stay under: 1.96 x root 2 = 2.8 standard deviations (ISO 5725). */
export const LIMIT_IN_SD = 2.8

/** Between against within laboratories, from the ring test of five laboratories (`assay_error.csv`: 11.2 against 6.2 %), where no row says. */
const BETWEEN_TO_WITHIN = 11.2 / 6.2

const sdAt = (row: AssayErrorRow, level: number): number => row.sdPoints ?? ((row.cvPct ?? 0) / 100) * level

const methodOf = (method: string): AssayErrorRow['method'] => (/near.?infrared|\bnirs?\b/i.test(method) ? 'near-infrared' : 'chemical')

type Asked = {
  readonly analyte: string
  readonly level: number
  readonly method: AssayErrorRow['method']
  readonly figure: AssayErrorRow['figure']
}

const distance = ({ fromPct, toPct }: AssayErrorRow, level: number): number => Math.max(0, fromPct - level, level - toPct)

const closer = (a: AssayErrorRow, b: AssayErrorRow, level: number): boolean => {
  const [far, width] = [distance(a, level) - distance(b, level), a.toPct - a.fromPct - (b.toPct - b.fromPct)]
  return far !== 0 ? far < 0 : width !== 0 ? width < 0 : a.read && !b.read
}

/** The row about this analyte whose band holds the level or lies nearest; the narrowest band first, read before remembered. */
const rowFor = (rows: readonly AssayErrorRow[], { analyte, level, method, figure }: Asked): AssayErrorRow | undefined => {
  let best: AssayErrorRow | undefined
  for (const row of rows) {
    if (row.figure !== figure || row.method !== method || row.analyte !== analyte) continue
    if (best === undefined || closer(row, best, level)) best = row
  }
  return best
}

/**
 * A figure in points is printed for a band; near its lower end it would exceed the content itself. So it counts at most for what the
 * ring test found of any analysis (upper end, per cent of the result).
 */
const sdOf = (rows: readonly AssayErrorRow[], row: AssayErrorRow, { level, figure }: Asked): number => {
  const any = rowFor(rows, { analyte: 'any', level, method: 'chemical', figure })
  return Math.min(sdAt(row, level), any ? sdAt(any, level) : Infinity)
}

/**
 * The error of a result at this level by this method. Undefined for poisons and strips, and where the table knows nothing. Where the
 * published within exceeds the between, or no between is printed for the analyte, the ring test's proportion of both is used.
 */
export const assayErrorOf = (rows: readonly AssayErrorRow[], analyte: string, level: number, method: string): AssayError | undefined => {
  if (!isAnalyte(analyte) || ANALYTES[analyte].units[0] !== '%' || analyte === 'urea' || level <= 0) return undefined
  const within = { analyte, level, method: methodOf(method), figure: 'repeatability' as const }
  const chemical = { ...within, method: 'chemical' as const }
  const row = rowFor(rows, within) ?? rowFor(rows, chemical) ?? rowFor(rows, { ...chemical, analyte: 'any' })
  if (!row) return undefined
  const repeatabilitySd = sdOf(rows, row, within)
  const between = { ...chemical, figure: 'reproducibility' as const }
  const printed = rowFor(rows, between)
  const reproducibilitySd = Math.max(printed ? sdOf(rows, printed, between) : 0, repeatabilitySd * (printed ? 1 : BETWEEN_TO_WITHIN))
  const bias = Math.sqrt(reproducibilitySd ** 2 - repeatabilitySd ** 2)
  return { repeatabilitySd, laboratorySd: bias > 0 ? bias : repeatabilitySd * Math.sqrt(BETWEEN_TO_WITHIN ** 2 - 1), source: row.source }
}

/**
 * How far a sample of a lot lies from the lot's mean. Within a lot contents vary about half as much as between lots (working judgement,
 * no source), and a sample is made of at least 7 increments (Regulation 152/2009 Annex I, `assay_error.csv`, read).
 */
export const samplingSd = (betweenLotSd: number): number => (0.5 * betweenLotSd) / Math.sqrt(7)
