import type { NoteDifference } from '#core/receiving/weights'
import { formatKg, formatPercent } from '../../format/numbers'
import { useStaffWords } from '../../i18n/words'

/** "60 kg less than the delivery note says (1.10 %)". */
export const useNoteWords = (): ((difference: NoteDifference) => string) => {
  const { t } = useStaffWords()
  return ({ difference, pct }) => {
    if (difference === 0) return t('receiving.noteSame')
    const facts = { kg: formatKg(Math.abs(difference) / 1000), pct: formatPercent(Math.abs(pct), 2) }
    return t(difference < 0 ? 'receiving.noteLess' : 'receiving.noteMore', facts)
  }
}
