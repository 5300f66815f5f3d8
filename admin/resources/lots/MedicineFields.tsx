import { useStaffWords } from '../../i18n/words'
import { Choice } from '../../ui/Choice'
import { Field, NumberField } from '../../ui/Field'
import type { ReceiveDraft } from './receiveDraft'

type MedicineProps = {
  readonly draft: ReceiveDraft
  readonly onChange: (changes: Partial<ReceiveDraft>) => void
  readonly errorAt: (path: string) => string | undefined
}

const ANSWERS = ['none', 'named', 'unread'] as const

/** A premix or concentrate may hold medicine: somebody must read its label and say so. Nothing is assumed. */
export const MedicineFields = ({ draft, onChange, errorAt }: MedicineProps) => {
  const { t } = useStaffWords()
  const words = { none: t('receive.medicineNo'), named: t('receive.medicineYes'), unread: t('receive.medicineUnread') }
  const answer = (value: string) => onChange({ medicine: ANSWERS.find((known) => known === value) ?? '' })
  return (
    <>
      <Choice
        id="receive-medicationDeclared"
        label={t('receive.medicine')}
        value={draft.medicine}
        choices={ANSWERS.map((value) => ({ value, label: words[value] }))}
        onChange={answer}
        error={errorAt('medicationDeclared')}
      />
      {draft.medicine === 'unread' && <p className="k-strong">{t('receive.medicineUnreadHint')}</p>}
      {draft.medicine === 'named' && (
        <>
          <Field
            id="receive-medication.active"
            label={t('receive.active')}
            value={draft.active}
            onChange={(active) => onChange({ active })}
            error={errorAt('medication.active')}
          />
          <NumberField
            id="receive-medication.strengthPct"
            label={t('receive.strength')}
            unit="%"
            value={draft.strengthPct}
            onChange={(strengthPct) => onChange({ strengthPct })}
            error={errorAt('medication.strengthPct')}
          />
        </>
      )}
    </>
  )
}
