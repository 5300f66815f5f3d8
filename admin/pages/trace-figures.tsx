import { formatDate, formatTime } from '../format/dates'
import { formatExactKg, formatKg } from '../format/numbers'
import { useStaffWords } from '../i18n/words'
import { CheckShape } from '../ui/CheckShape'
import '../resources/batches/batches.css'
import './trace.css'
import type { Trace } from './traceWords'

/** What was made of it, what members have, what still lies at the mill. */
export const Totals = ({ trace: { totals, at, edges } }: { trace: Trace }) => {
  const { t, language } = useStaffWords()
  const figure = (label: string, value: string) => (
    <>
      <dt>{label}</dt>
      <dd className="k-tabular">{value}</dd>
    </>
  )
  return (
    <>
      <p>
        {[
          t('tracing.count.lots', { smart_count: totals.lots }),
          t('tracing.count.loads', { smart_count: totals.batches }),
          t('tracing.count.orders', { smart_count: totals.orders }),
          t('tracing.count.members', { smart_count: totals.members }),
        ].join(', ')}
      </p>
      <dl className="k-facts k-facts-figures">
        {figure(t('tracing.made'), formatKg(totals.madeKg))}
        {figure(t('tracing.collected'), formatKg(totals.collectedKg))}
        {figure(t('tracing.atMill'), formatKg(totals.bagsOnHandKg))}
      </dl>
      {edges.some(({ certain }) => !certain) && <p>{t('tracing.notYet')}</p>}
      <p className="k-caption">{t('tracing.asOf', { date: formatDate(at, language), time: formatTime(at) })}</p>
    </>
  )
}

/** Received against used, in store and gone otherwise: whole to the gram, or what is not explained. */
export const Balance = ({ balance }: { balance: NonNullable<Trace['balance']> }) => {
  const { t } = useStaffWords()
  const whole = /^-?0\.000$/.test(balance.differenceKg)
  return (
    <>
      <p className="k-tabular">
        {t('tracing.balanceTold', {
          received: formatExactKg(balance.receivedKg),
          used: formatExactKg(balance.usedKg),
          onHand: formatExactKg(balance.onHandKg),
          other: formatExactKg(balance.otherKg),
        })}
      </p>
      <p className="k-verdict-line k-strong">
        <CheckShape verdict={whole ? 'pass' : 'block'} />
        <span>{whole ? t('tracing.balanceWhole') : t('tracing.balanceMissing', { difference: formatExactKg(balance.differenceKg) })}</span>
      </p>
    </>
  )
}
