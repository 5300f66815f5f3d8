import { formatAccount } from '../../format/money'
import { formatKg, formatNumber, formatPercent } from '../../format/numbers'
import { readTyped } from '../../format/typed'
import { useStaffWords } from '../../i18n/words'
import { useCurrency } from '../../providers/useMill'
import { CheckShape } from '../../ui/CheckShape'
import { NumberField } from '../../ui/Field'
import { MAIZE_MOISTURE_PCT, sackWeight, tooWet, type ReceiveDraft } from './receiveDraft'

type WeightProps = {
  readonly draft: ReceiveDraft
  readonly onChange: (changes: Partial<ReceiveDraft>) => void
  readonly errorAt: (path: string) => string | undefined
}

const Warning = ({ children }: { children: string }) => (
  <p className="k-failure k-warning-line" role="status">
    <CheckShape verdict="warn" size={20} /> <span>{children}</span>
  </p>
)

/** Sacks, weight, price and moisture, each read back the way people check them: kilograms a sack, money in all. */
export const WeightFields = ({ draft, onChange, errorAt }: WeightProps) => {
  const { t } = useStaffWords()
  const currency = useCurrency()
  const sack = sackWeight(draft)
  const wet = tooWet(draft)
  const [net, price] = [readTyped(draft.netKg), readTyped(draft.pricePerKg)]
  const total = net.kind === 'number' && price.kind === 'number' ? Number(net.text) * Number(price.text) : null
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
      {sack && !sack.odd && <p className="k-readback-line">{t('receive.eachBag', { kg: formatKg(sack.kg) })}</p>}
      {sack?.odd && <Warning>{t('receive.oddBag', { kg: formatKg(sack.kg) })}</Warning>}
      <NumberField
        id="receive-pricePerKg"
        label={t('receive.price')}
        unit={currency}
        value={draft.pricePerKg}
        onChange={(pricePerKg) => onChange({ pricePerKg })}
        error={errorAt('pricePerKg')}
        required
      />
      {total !== null && (
        <p className="k-readback-line">
          {t('receive.priceTotal', {
            money: formatAccount(formatNumberPlain(total), currency),
            kg: formatKg(draft.netKg.replaceAll(',', '')),
          })}
        </p>
      )}
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
    </>
  )
}

/** A product of two typed figures, as text without grouping. */
const formatNumberPlain = (value: number): string => formatNumber(value, 2).replaceAll(',', '')
