import type { ReactNode } from 'react'
import { formatKg } from '../../format/numbers'
import { useStaffWords } from '../../i18n/words'
import { CheckShape } from '../../ui/CheckShape'
import { Choice } from '../../ui/Choice'
import { NumberField } from '../../ui/Field'
import { useNoteWords } from './noteWords'
import { netWeighed, noteDifferenceOf, sackWeight, type ReceiveDraft } from './receiveDraft'

export type DraftProps = {
  readonly draft: ReceiveDraft
  readonly onChange: (changes: Partial<ReceiveDraft>) => void
  readonly errorAt: (path: string) => string | undefined
}

export const Warning = ({ children }: { children: ReactNode }) => (
  <p className="k-failure k-warning-line" role="status">
    <CheckShape verdict="warn" size={20} /> <span>{children}</span>
  </p>
)

/** Gross, tare and an empty sack, with the net weight worked out under them. */
const GrossFields = ({ draft, onChange, errorAt }: DraftProps) => {
  const { t } = useStaffWords()
  const weighed = netWeighed(draft)
  const facts = weighed && {
    net: formatKg(weighed.net / 1000),
    gross: formatKg(draft.grossKg.replaceAll(',', '')),
    tare: formatKg(draft.tareKg.replaceAll(',', '')),
    bags: formatKg(weighed.bags / 1000),
  }
  return (
    <>
      <NumberField
        id="receive-weighing.grossKg"
        label={t('receiving.gross')}
        unit="kg"
        value={draft.grossKg}
        onChange={(grossKg) => onChange({ grossKg })}
        error={errorAt('weighing.grossKg')}
        required
      />
      <NumberField
        id="receive-weighing.tareKg"
        label={t('receiving.tare')}
        unit="kg"
        value={draft.tareKg}
        onChange={(tareKg) => onChange({ tareKg })}
        error={errorAt('weighing.tareKg')}
        required
      />
      <NumberField
        id="receive-weighing.emptyBagG"
        label={t('receiving.emptyBag')}
        hint={t('receiving.emptyBagHint')}
        unit="g"
        value={draft.emptyBagG}
        onChange={(emptyBagG) => onChange({ emptyBagG })}
        error={errorAt('weighing.emptyBagG') ?? errorAt('netKg')}
      />
      {facts && <p className="k-readback-line k-strong">{t(weighed.bags > 0 ? 'receiving.netIsBags' : 'receiving.netIs', facts)}</p>}
    </>
  )
}

/** What the delivery note says, and at once how far the scale is from it. */
const NoteFields = ({ draft, onChange, errorAt }: DraftProps) => {
  const { t } = useStaffWords()
  const noteWords = useNoteWords()
  const difference = noteDifferenceOf(draft)
  return (
    <>
      <NumberField
        id="receive-noteKg"
        label={t('receiving.noteKg')}
        hint={t('receiving.noteKgHint')}
        unit="kg"
        value={draft.noteKg}
        onChange={(noteKg) => onChange({ noteKg })}
        error={errorAt('noteKg')}
      />
      {difference && difference.difference < 0 && <Warning>{noteWords(difference)}</Warning>}
      {difference && difference.difference >= 0 && <p className="k-readback-line">{noteWords(difference)}</p>}
    </>
  )
}

/** Sacks and weight, each read back the way people check them: net, kilograms a sack, what the delivery note says. */
export const WeightFields = (props: DraftProps) => {
  const { t } = useStaffWords()
  const { draft, onChange, errorAt } = props
  const sack = sackWeight(draft)
  return (
    <>
      <NumberField
        id="receive-bags"
        label={t('receive.bags')}
        unit={t('receive.bagsUnit')}
        value={draft.bags}
        onChange={(bags) => onChange({ bags })}
        error={errorAt('bags')}
      />
      <Choice
        label={t('receiving.how')}
        value={draft.weighedBy}
        choices={[
          { value: 'net', label: t('receiving.byNet') },
          { value: 'gross', label: t('receiving.byGross') },
        ]}
        onChange={(value) => onChange({ weighedBy: value === 'gross' ? 'gross' : 'net' })}
      />
      {draft.weighedBy === 'gross' ? (
        <GrossFields {...props} />
      ) : (
        <NumberField
          id="receive-netKg"
          label={t('receive.net')}
          hint={t('receive.netHint')}
          unit="kg"
          value={draft.netKg}
          onChange={(netKg) => onChange({ netKg })}
          error={errorAt('netKg')}
          required
        />
      )}
      {sack && !sack.odd && <p className="k-readback-line">{t('receive.eachBag', { kg: formatKg(sack.kg) })}</p>}
      {sack?.odd && <Warning>{t('receive.oddBag', { kg: formatKg(sack.kg) })}</Warning>}
      <NoteFields {...props} />
    </>
  )
}
