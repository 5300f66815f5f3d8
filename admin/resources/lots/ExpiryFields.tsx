import { daysFrom, formatDate } from '../../format/dates'
import { useStaffWords } from '../../i18n/words'
import { Tick } from '../../ui/Choice'
import { Field } from '../../ui/Field'
import { useRuleWords } from './ruleWords'
import { today } from './lotWords'
import { keepingOfDraft } from './receiveDraft'
import type { DraftProps } from './WeightFields'

/** The day up to which it keeps by the rules, told with its source; the keeper may write an earlier one, or the one on the label. */
export const ExpiryFields = ({ draft, onChange, errorAt }: DraftProps) => {
  const { t, language } = useStaffWords()
  const ruleWords = useRuleWords()
  const keeping = keepingOfDraft(draft)
  const delivered = draft.receivedAt === '' ? today() : draft.receivedAt
  const until = keeping && daysFrom(delivered, keeping.days + 1).at(-1)
  const told =
    keeping && until
      ? `${t('receiving.keepsBy', { date: formatDate(until, language), smart_count: keeping.days, rule: ruleWords(keeping.rule) })} ${t('receiving.keepsEarlier')}`
      : t('receive.expiresUnknown')
  return (
    <>
      <Field
        id="receive-expiresOn"
        label={t('receive.expires')}
        type="date"
        hint={told}
        value={draft.expiresOn}
        onChange={(expiresOn) => onChange({ expiresOn })}
        error={errorAt('expiresOn')}
      />
      {draft.expiresOn !== '' && (
        <Tick label={t('receiving.onLabel')} checked={draft.expiryOnLabel} onChange={(expiryOnLabel) => onChange({ expiryOnLabel })} />
      )}
    </>
  )
}
