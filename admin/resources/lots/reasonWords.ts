import type { Translate } from '../../i18n/translate'
import type { StaffKey } from '../../i18n/words'

const OF_LOT = /^lot (\d+): (.+)$/
/** Rules by their ids, each perhaps with what it found. */
const RULES = /^[A-Z][A-Z0-9-]+( [a-z-]+)?(, [A-Z][A-Z0-9-]+( [a-z-]+)?)*$/

const bareWords = (reason: string, t: Translate<StaffKey>): string => {
  if (reason === 'on-hold' || reason === 'rejected') return t(`derived.notReleased.${reason}`)
  if (reason === 'no-feed-left') return t('derived.noFeedLeft')
  if (!RULES.test(reason)) return reason
  return t('derived.rules', { rules: reason.replaceAll(/ [a-z-]+/g, '') })
}

/** Why a lot stands as it does. What the mill itself wrote, of a lot that is in it, is told in the reader's language; a person's words stay. */
export const reasonWords = (reason: string, t: Translate<StaffKey>): string =>
  reason
    .split(/; (?=lot \d+: )/)
    .map((part) => {
      const [, number, why] = OF_LOT.exec(part) ?? []
      return number === undefined || why === undefined ? part : t('derived.because', { number, reason: bareWords(why, t) })
    })
    .join('; ')
