import { useStaffWords } from '../../i18n/words'

const OWN = ['wet-grain', 'mill', 'keeper', 'label'] as const

/** Why a lot keeps until its day: a row of the reference by its number, or who said so. */
export const useRuleWords = (): ((rule: string) => string) => {
  const { t } = useStaffWords()
  return (rule) => {
    const own = OWN.find((known) => known === rule)
    return own ? t(`receiving.rule.${own}`) : t('receiving.rule.book', { row: rule })
  }
}
