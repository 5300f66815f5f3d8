import type { ReactNode } from 'react'
import type { LotView } from '#contract/lots'
import { formatDate, formatTime } from '../../format/dates'
import { formatAccount } from '../../format/money'
import { formatKg, formatPercent } from '../../format/numbers'
import { useStaffWords } from '../../i18n/words'
import { useCurrency } from '../../providers/useMill'
import { Card } from '../../ui/Card'
import { daysLeftWords } from './lotWords'

const Fact = ({ name, children }: { name: string; children: ReactNode }) => (
  <>
    <dt>{name}</dt>
    <dd>{children}</dd>
  </>
)

const useMedicine = (): ((lot: LotView) => string) => {
  const { t } = useStaffWords()
  return ({ medication, medicationDeclared }) => {
    if (medication) return `${medication.active}, ${formatPercent(medication.strengthPct)}`
    return t(medicationDeclared ? 'lots.medicineNone' : 'lots.medicineUnknown')
  }
}

/** Everything that was written down when the lot came, and what is left of it. */
export const LotFacts = ({ lot, asksMedicine }: { lot: LotView; asksMedicine: boolean }) => {
  const { t, language } = useStaffWords()
  const currency = useCurrency()
  const medicine = useMedicine()
  const when = `${formatDate(lot.receivedAt, language)}, ${formatTime(lot.receivedAt)}`
  const sacks =
    lot.bags === null
      ? t('lots.notCounted')
      : t('lots.bagsAbout', { smart_count: lot.bags, kg: formatKg(Number(lot.netKg) / Math.max(1, lot.bags)) })
  const written = (text: string): string => (text.trim() === '' ? t('lots.notWritten') : text)
  return (
    <Card title={t('lots.facts')}>
      <dl className="k-facts">
        {lot.status === 'released' && (
          <Fact name={t('lots.free')}>
            <span className="k-strong k-tabular">{formatKg(lot.freeKg)}</span>
          </Fact>
        )}
        <Fact name={t('lots.onHand')}>{formatKg(lot.onHandKg)}</Fact>
        <Fact name={t('lots.reserved')}>{formatKg(lot.reservedKg)}</Fact>
        <Fact name={t('lots.price')}>{formatAccount(lot.pricePerKg, currency)}</Fact>
        <Fact name={t('lots.keeps')}>
          {lot.expiresOn === null ? t('lots.noDate') : `${formatDate(lot.expiresOn, language)}, ${daysLeftWords(lot.expiresOn, t)}`}
        </Fact>
        <Fact name={t('lots.supplier')}>
          <a href={`#/suppliers/${lot.supplierId}/show`}>{lot.supplierName}</a>
        </Fact>
        <Fact name={t('lots.received')}>{t('lots.receivedBy', { when, who: lot.receivedBy })}</Fact>
        <Fact name={t('lots.netWeight')}>{formatKg(lot.netKg)}</Fact>
        <Fact name={t('lots.bags')}>{sacks}</Fact>
        <Fact name={t('lots.meter')}>{lot.intakeMoisturePct === null ? t('lots.notMeasured') : formatPercent(lot.intakeMoisturePct)}</Fact>
        <Fact name={t('lots.medicine')}>{asksMedicine || lot.medicationDeclared ? medicine(lot) : t('lots.medicineNotAsked')}</Fact>
        <Fact name={t('lots.note')}>{written(lot.deliveryNote)}</Fact>
        <Fact name={t('lots.place')}>{written(lot.storagePlace)}</Fact>
      </dl>
    </Card>
  )
}
