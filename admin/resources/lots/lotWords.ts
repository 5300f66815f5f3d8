import { ANALYTES, isAnalyte } from '#core/composition/analytes'
import { QUICK_TESTS, type QuickTestId } from '#core/laboratory/quick-tests'
import { isoDay } from '../../format/dates'
import { formatFigure, withUnit } from '../../format/numbers'
import type { Translate } from '../../i18n/translate'
import type { StaffKey } from '../../i18n/words'

const DAY_MS = 86_400_000

/** Days from `today` to the last day on which a lot may be used; below 0 when that day is past. Both as "2026-08-04". */
export const daysLeft = (expiresOn: string, today: string): number => Math.round((Date.parse(expiresOn) - Date.parse(today)) / DAY_MS)

export const today = (): string => isoDay(new Date().toISOString())

/** "12 days left", "last day today", "3 days past its date". */
export const daysLeftWords = (expiresOn: string, t: Translate<StaffKey>): string => {
  const days = daysLeft(expiresOn, today())
  if (days === 0) return t('lots.lastDay')
  return days > 0 ? t('lots.daysLeft', { smart_count: days }) : t('lots.pastDate', { smart_count: -days })
}

const HAZARDS: Readonly<Record<string, StaffKey>> = {
  aflatoxin_B1: 'hazard.aflatoxinB1',
  aflatoxin_total: 'hazard.aflatoxin',
  AIA: 'hazard.sand',
  urea: 'hazard.urea',
}

/** What the laboratory measures, in words. */
export const analyteName = (analyte: string, t: Translate<StaffKey>): string => {
  const key = HAZARDS[analyte] ?? (`nutrient.${analyte}` as StaffKey)
  const words = t(key)
  return words === key ? analyte : words
}

/** Minerals and amino acids to 0.01 %, everything else to 0.1 %; poisons whole. */
const COARSE: ReadonlySet<string> = new Set(['moisture', 'CP', 'EE', 'CF', 'ash', 'AIA', 'starch', 'sugars', 'urea'])
const placesOf = (analyte: string, unit: string): number => (unit === 'ug/kg' ? 0 : COARSE.has(analyte) ? 1 : 2)

/** By what it was measured: a quick test in the reader's language, else as the laboratory wrote it. */
export const methodWords = (
  { quickTest, method }: { readonly quickTest: QuickTestId | null; readonly method: string },
  t: Translate<StaffKey>,
): string => (quickTest === null ? method : t(`bench.quick.${quickTest}`))

type Result = {
  readonly analyte: string
  readonly value: number
  readonly unit: string
  readonly belowDetection: boolean
  /** Of a test that says yes or no: what it said; `value` is then the limit from which it shows anything. */
  readonly reading?: 'figure' | 'none-found' | 'found'
  readonly quickTest?: QuickTestId | null
}

/** "8.4 %", "under 2 ug/kg", and what a test said that gives no figure. */
export const resultWords = ({ analyte, value, unit, belowDetection, reading, quickTest }: Result, t: Translate<StaffKey>): string => {
  const yesNo = quickTest && QUICK_TESTS[quickTest].answers === 'yes-no'
  const limit = withUnit(formatFigure(value, placesOf(analyte, unit)), unit)
  if (yesNo && reading === 'found') return t('bench.foundFrom', { limit })
  if (yesNo && reading === 'none-found') return t('bench.noneUnder', { limit })
  if (analyte === 'urea' && (value === 0 || belowDetection)) return t('lab.stripNone')
  if (analyte === 'urea' && value === 1) return t('lab.stripFound')
  return belowDetection ? t('lab.under', { limit }) : limit
}

export const unitOf = (analyte: string): '%' | 'ug/kg' | 'mg/kg' => (isAnalyte(analyte) ? ANALYTES[analyte].units[0] : '%')
