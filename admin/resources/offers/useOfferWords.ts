import { useStaffWords } from '../../i18n/words'
import { useCurrency } from '../../providers/useMill'
import type { OfferWords } from './offerWords'

/** What an offer is told in: words, language and the money of the mill. */
export const useOfferWords = (): OfferWords => {
  const { t, language } = useStaffWords()
  return { t, language, currency: useCurrency() }
}
