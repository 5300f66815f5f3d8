import type { ReactNode } from 'react'
import type { LotView } from '#contract/lots'
import { readKg, type Grams } from '#core/quantity/mass'
import { noteDifference } from '#core/receiving/weights'
import { formatDate, formatTime } from '../../format/dates'
import { formatAccount } from '../../format/money'
import { formatKg, formatPercent } from '../../format/numbers'
import { useStaffWords } from '../../i18n/words'
import { useCurrency } from '../../providers/useMill'
import { Card } from '../../ui/Card'
import { daysLeftWords } from './lotWords'
import { useNoteWords } from './noteWords'
import { PaymentWords } from './PaymentWords'
import { useRuleWords } from './ruleWords'

export const Fact = ({ name, children }: { name: string; children: ReactNode }) => (
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

const gramsOf = (kg: string): Grams => readKg(kg) ?? (0 as Grams)

/** Net weight with what the scale showed. */
const Weighed = ({ lot: { netKg, weighing, bags } }: { lot: LotView }) => {
  const { t } = useStaffWords()
  if (weighing === null) return formatKg(netKg)
  const empty = ((weighing.emptyBagG ?? 0) * (bags ?? 0)) / 1000
  const facts = { net: formatKg(netKg), gross: formatKg(weighing.grossKg), tare: formatKg(weighing.tareKg), bags: formatKg(empty) }
  return t(empty > 0 ? 'receiving.netIsBags' : 'receiving.netIs', facts)
}

/** What was seen at the gate, what was not good first; what nobody looked at is said too. */
const Looks = ({ lot: { looks } }: { lot: LotView }) => {
  const { t } = useStaffWords()
  if (looks.length === 0) return t('receiving.notLooked')
  const bad = looks.filter(({ good }) => !good)
  const name = ({ point, note }: LotView['looks'][number]): string => `${t(`receiving.short.${point}`)}${note === '' ? '' : ` (${note})`}`
  const good = looks.filter(({ good: fine }) => fine)
  return (
    <>
      {bad.length > 0 && <b className="k-block">{t('receiving.looksBad', { points: bad.map(name).join(', ') })}</b>}
      {good.length > 0 && t('receiving.looksGood', { points: good.map(name).join(', ') })}
    </>
  )
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
  const noteWords = useNoteWords()
  const ruleWords = useRuleWords()
  const against = lot.noteKg === null ? null : noteDifference(gramsOf(lot.netKg), gramsOf(lot.noteKg))
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
          {lot.expiryRule !== '' && <span className="k-caption k-block">{ruleWords(lot.expiryRule)}</span>}
        </Fact>
        <Fact name={t('lots.supplier')}>
          {lot.madeBy === null ? (
            <a href={`#/suppliers/${lot.supplierId}/show`}>{lot.supplierName}</a>
          ) : (
            t('derived.millMade', { how: t(`derived.by.${lot.madeBy}`) })
          )}
        </Fact>
        <Fact name={t(lot.madeBy === null ? 'lots.received' : 'derived.madeOn')}>
          {t('lots.receivedBy', { when, who: lot.receivedBy })}
        </Fact>
        <Fact name={t('lots.netWeight')}>
          <Weighed lot={lot} />
        </Fact>
        {lot.madeBy === null && (
          <>
            <Fact name={t('receiving.noteKg')}>
              {lot.noteKg === null || against === null ? t('receiving.noteNone') : `${formatKg(lot.noteKg)}: ${noteWords(against)}`}
            </Fact>
            <Fact name={t('receiving.paid')}>
              <PaymentWords lot={lot} />
            </Fact>
          </>
        )}
        {(lot.madeBy === null || lot.bags !== null) && <Fact name={t('lots.bags')}>{sacks}</Fact>}
        <Fact name={t('lots.meter')}>{lot.intakeMoisturePct === null ? t('lots.notMeasured') : formatPercent(lot.intakeMoisturePct)}</Fact>
        <Fact name={t('lots.medicine')}>{asksMedicine || lot.medicationDeclared ? medicine(lot) : t('lots.medicineNotAsked')}</Fact>
        {lot.madeBy === null && (
          <>
            <Fact name={t('receiving.looks')}>
              <Looks lot={lot} />
            </Fact>
            <Fact name={t('lots.note')}>{written(lot.deliveryNote)}</Fact>
          </>
        )}
        <Fact name={t('lots.place')}>{written(lot.storagePlace)}</Fact>
      </dl>
    </Card>
  )
}
