import { formatAccount } from '../../format/money'
import { formatKg, formatPercent } from '../../format/numbers'
import { useStaffWords } from '../../i18n/words'
import { useCurrency } from '../../providers/useMill'
import { Choice } from '../../ui/Choice'
import { NumberField } from '../../ui/Field'
import { MAIZE_MOISTURE_PCT } from '#core/receiving/keeping'
import { owedOf, tooWet } from './receiveDraft'
import { Warning, type DraftProps } from './WeightFields'

/** Both ways of paying in words, the agreed one first when those are the terms. */
const Owed = ({ draft }: Pick<DraftProps, 'draft'>) => {
  const { t } = useStaffWords()
  const currency = useCurrency()
  const owed = owedOf(draft)
  if (owed === null) return null
  const { delivered, agreed } = owed
  const money = (text: string): string => formatAccount(text, currency)
  const at = { agreed: formatPercent(draft.agreedPct), found: formatPercent(draft.moisturePct), net: formatKg(delivered.kg) }
  return (
    <div className="k-readback-line" role="status">
      {agreed && (
        <>
          <p className="k-strong">{t('receiving.payAgreed', { ...at, money: money(agreed.money), kg: formatKg(agreed.kg) })}</p>
          <p>{t('receiving.payWhy', { ...at, kg: formatKg(agreed.kg) })}</p>
        </>
      )}
      <p>{t('receiving.payAsDelivered', { money: money(delivered.money), kg: formatKg(delivered.kg) })}</p>
    </div>
  )
}

/** Moisture, price and terms: what is owed is read back both ways. */
export const PriceFields = ({ draft, onChange, errorAt }: DraftProps) => {
  const { t } = useStaffWords()
  const currency = useCurrency()
  const wet = tooWet(draft)
  return (
    <>
      <NumberField
        id="receive-intakeMoisturePct"
        label={t('receive.moisture')}
        hint={t('receive.moistureHint')}
        unit="%"
        value={draft.moisturePct}
        onChange={(moisturePct) => onChange({ moisturePct })}
        error={errorAt('intakeMoisturePct')}
      />
      {wet !== null && <Warning>{t('receive.tooWet', { moisture: formatPercent(wet), limit: formatPercent(MAIZE_MOISTURE_PCT) })}</Warning>}
      <NumberField
        id="receive-pricePerKg"
        label={t('receive.price')}
        unit={currency}
        value={draft.pricePerKg}
        onChange={(pricePerKg) => onChange({ pricePerKg })}
        error={errorAt('pricePerKg')}
        required
      />
      <Choice
        label={t('receiving.terms')}
        value={draft.terms}
        choices={[
          { value: 'delivered', label: t('receiving.asDelivered') },
          { value: 'agreed', label: t('receiving.atMoisture') },
        ]}
        onChange={(value) => onChange({ terms: value === 'agreed' ? 'agreed' : 'delivered' })}
      />
      {draft.terms === 'agreed' && (
        <NumberField
          id="receive-agreedMoisturePct"
          label={t('receiving.agreed')}
          hint={t('receiving.agreedHint')}
          unit="%"
          value={draft.agreedPct}
          onChange={(agreedPct) => onChange({ agreedPct })}
          error={errorAt('agreedMoisturePct')}
          required
        />
      )}
      <Owed draft={draft} />
    </>
  )
}
