import { useSharedWords, type SharedKey } from '../i18n/words'
import { formatNumber } from '../format/numbers'
import type { ProblemField } from '../providers/http'

/** What is allowed, as the sentences show it. */
const readable = (facts: Readonly<Record<string, unknown>>): Record<string, string> =>
  Object.fromEntries(
    Object.entries(facts).map(([name, value]) => [
      name,
      typeof value === 'number' ? formatNumber(value, Number.isInteger(value) ? 0 : 2).replace(/(\.\d*?)0+$/, '$1') : String(value),
    ]),
  )

/** Words for what is wrong with one field: our own sentence for its code, else for the problem of that name, else what the mill says. */
export const useFaultWords = (): ((field: ProblemField) => string) => {
  const { t } = useSharedWords()
  return ({ code, message, facts = {} }) => {
    for (const key of [`fault.${code}`, `problem.${code}`]) {
      const words = t(key as SharedKey, readable(facts))
      if (words !== key) return words
    }
    return message
  }
}
