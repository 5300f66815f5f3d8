import { useMemo } from 'react'
import { useStaffWords } from '../../i18n/words'
import { useCurrency } from '../../providers/useMill'
import { useIngredients } from './useIngredients'

/** What an answer is told in: words, the names of ingredients, the money of the mill. */
export const useTold = () => {
  const { t, language } = useStaffWords()
  const { nameOf } = useIngredients(language)
  const currency = useCurrency()
  return useMemo(() => ({ words: { t, nameOf }, language, currency }), [t, nameOf, language, currency])
}
export type Told = ReturnType<typeof useTold>
