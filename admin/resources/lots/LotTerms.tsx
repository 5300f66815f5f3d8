import type { LotView } from '#contract/lots'
import { formatDate } from '../../format/dates'
import { useStaffWords, type StaffKey } from '../../i18n/words'
import { CheckShape } from '../../ui/CheckShape'
import { daysLeft, today } from './lotWords'

/** A fortnight ahead somebody should begin with the re-test; the list of samples shows it from then on too. */
const SOON_DAYS = 14

/** Under which terms a lot was released or is held; nothing when there are none. */
export const LotTerms = ({ lot: { releasedFor, retestOn, holdUntil, status } }: { lot: LotView }) => {
  const { t, language } = useStaffWords()
  const left = retestOn === null ? null : daysLeft(retestOn, today())
  const held = status === 'on-hold' && holdUntil !== null && daysLeft(holdUntil, today()) > 0
  const retest = left === null ? null : left < 0 ? 'retestPast' : left <= SOON_DAYS ? 'retestSoon' : 'retestOn'
  return (
    <>
      {held && (
        <p className="k-verdict-line k-strong">
          <CheckShape verdict="block" size={20} />
          {t('terms.held', { day: formatDate(holdUntil, language) })}
        </p>
      )}
      {releasedFor.length > 0 && (
        <p className="k-verdict-line k-strong">
          <CheckShape verdict="warn" size={20} />
          {t('terms.onlyFor', { stages: releasedFor.map((id) => t(`stage.${id}` as StaffKey)).join(', ') })}
        </p>
      )}
      {retest && retestOn && (
        <p className="k-verdict-line">
          {retest !== 'retestOn' && <CheckShape verdict={retest === 'retestPast' ? 'block' : 'warn'} size={20} />}
          {t(`terms.${retest}`, { day: formatDate(retestOn, language) })}
        </p>
      )}
    </>
  )
}
