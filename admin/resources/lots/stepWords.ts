import { HALF_95 } from './knownValue'
import { formatShortDate } from '../../format/dates'
import { formatFigure, formatNumber } from '../../format/numbers'
import type { Language } from '../../i18n/language'
import type { Translate } from '../../i18n/translate'
import type { StaffKey } from '../../i18n/words'

export type Step = { readonly code: string; readonly facts: Readonly<Record<string, string | number | boolean | null>> }

/** A factor keeps four figures; what is measured two decimals, without idle zeros. */
const figure = (name: string, value: number): string => {
  if (Number.isInteger(value)) return formatNumber(value, 0)
  if (name === 'weightPct') return formatNumber(value, 0)
  const places = name === 'factor' ? 4 : Math.abs(value) < 0.1 ? 4 : 2
  return formatFigure(value, places).replace(/\.?0+$/, '')
}

const shown = (name: string, value: string | number | boolean | null, language: Language): string => {
  if (typeof value === 'number') return figure(name, value)
  if (name === 'measuredOn' && typeof value === 'string') return formatShortDate(value, language)
  return value === null ? '' : String(value)
}

/** A standard deviation is shown as half of the range in which 19 of 20 lie, like every spread on the page. */
const withHalf = (facts: Step['facts']): Step['facts'] => {
  const sd = facts['sd']
  return typeof sd === 'number' ? { ...facts, half: HALF_95 * sd } : facts
}

/** One step by which a value came about, as a sentence; a code without words of ours says that the mill worked it out. */
export const stepWords = ({ code, facts }: Step, t: Translate<StaffKey>, language: Language): string => {
  const key = code === 'book' && facts['read'] === false ? 'steps.book-memory' : `steps.${code}`
  const words = t(
    key as StaffKey,
    Object.fromEntries(Object.entries(withHalf(facts)).map(([name, value]) => [name, shown(name, value, language)])),
  )
  return words === key ? t('steps.other') : words
}
