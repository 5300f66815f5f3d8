import { useSharedWords, type SharedKey } from '../i18n/words'
import { formatDate, formatTime } from '../format/dates'
import type { Language } from '../i18n/language'
import { formatNumber } from '../format/numbers'
import type { ProblemField } from '../providers/http'

const INSTANT = /^\d{4}-\d{2}-\d{2}T/

/** What is allowed, as the sentences show it: figures without idle zeros, a moment on the mill's clock. */
const readable = (facts: Readonly<Record<string, unknown>>, language: Language): Record<string, string> => {
  const shown = (value: unknown): string => {
    if (typeof value === 'number') return formatNumber(value, Number.isInteger(value) ? 0 : 2).replace(/(\.\d*?)0+$/, '$1')
    const text = String(value)
    return INSTANT.test(text) ? `${formatDate(text, language)} ${formatTime(text)}` : text
  }
  return Object.fromEntries(Object.entries(facts).map(([name, value]) => [name, shown(value)]))
}

/** Words for what is wrong with one field: our own sentence for its code, else for the problem of that name, else what the mill says. */
export const useFaultWords = (): ((field: ProblemField) => string) => {
  const { t, language } = useSharedWords()
  return ({ code, message, facts = {} }) => {
    for (const key of [`fault.${code}`, `problem.${code}`]) {
      const words = t(key as SharedKey, readable(facts, language))
      if (words !== key) return words
    }
    return message
  }
}
