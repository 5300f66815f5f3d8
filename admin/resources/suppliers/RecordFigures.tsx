import { Fragment } from 'react'
import { MOST_EARLIER_LOTS } from '#core/composition/supplier-record'
import { formatAccount } from '../../format/money'
import { formatKg, formatPercent } from '../../format/numbers'
import { useStaffWords } from '../../i18n/words'
import { useCurrency } from '../../providers/useMill'
import { Card } from '../../ui/Card'
import { KnownBy } from '../../ui/KnownBy'
import { lotKnownValue } from '../lots/knownValue'
import { stepWords } from '../lots/stepWords'
import { contentName, deviationText, type Chart, type SupplierRecord } from './recordWords'

const useSpreadWords = () => {
  const { t } = useStaffWords()
  return ({ mean, sd, lots }: Chart): string => {
    if (mean === null) return t('suppliers.record.spreadNone')
    const facts = { mean: formatPercent(mean), smart_count: lots }
    return sd === null ? t('suppliers.record.spreadOne', facts) : t('suppliers.record.spreadOf', { ...facts, sd: deviationText(sd) })
  }
}

const Price = ({ price }: { price: SupplierRecord['price'] }) => {
  const { t } = useStaffWords()
  const currency = useCurrency()
  const digestible = price?.digestible
  return (
    <>
      <dt>{t('suppliers.record.crude')}</dt>
      <dd>
        {price === null
          ? t('suppliers.record.crudeNone')
          : t('suppliers.record.crudeOf', { price: formatAccount(price.perKgCrudeProtein, currency), smart_count: price.lots })}
      </dd>
      {price !== null && (
        <>
          <dt>{t('suppliers.record.digestible')}</dt>
          <dd>
            {digestible
              ? t('suppliers.record.digestibleOf', {
                  price: formatAccount(digestible.perKg, currency),
                  share: formatPercent(digestible.sharePct, 0),
                  smart_count: digestible.aminoAcids.length,
                  known: t(`known.${digestible.knownBy}`),
                })
              : t('suppliers.record.digestibleNone')}
          </dd>
        </>
      )}
    </>
  )
}

const useShortWords = () => {
  const { t } = useStaffWords()
  return (short: SupplierRecord['shortWeights']): string => {
    if (short === null) return t('suppliers.record.shortNone')
    const difference = Number(short.differenceKg)
    const words = difference < 0 ? 'shortLess' : difference > 0 ? 'shortMore' : 'shortEven'
    return t(`suppliers.record.${words}`, {
      kg: formatKg(Math.abs(difference)),
      pct: formatPercent((100 * Math.abs(difference)) / Number(short.notedKg), 2),
      lots: t('suppliers.record.shortLots', { smart_count: short.lots }),
      smart_count: short.shortLots,
    })
  }
}

/** The record in figures: means and deviations, what protein cost, and the belief of the next lot with the steps it comes by. */
export const RecordFigures = ({ record }: { record: SupplierRecord }) => {
  const { t, language } = useStaffWords()
  const spreadWords = useSpreadWords()
  const shortWords = useShortWords()
  return (
    <Card title={t('suppliers.record.figures')}>
      <dl className="k-facts k-facts-long">
        {(['protein', 'moisture'] as const).map((content) => (
          <Fragment key={content}>
            <dt>{contentName(content, t)}</dt>
            <dd>{spreadWords(record[content])}</dd>
          </Fragment>
        ))}
        <Price price={record.price} />
        <dt>{t('suppliers.record.short')}</dt>
        <dd>{shortWords(record.shortWeights)}</dd>
        <dt>{t('suppliers.record.next')}</dt>
        <dd>
          <KnownBy value={lotKnownValue(record.nextLot, language)} />
          <ol className="k-steps">
            {record.nextLot.steps.map((step, index) => (
              <li key={index}>{stepWords(step, t, language)}</li>
            ))}
          </ol>
        </dd>
      </dl>
      <p className="k-caption">
        {t('suppliers.record.same', { most: MOST_EARLIER_LOTS })} {t('known.spreadNote')}.
      </p>
    </Card>
  )
}
