import { formatDate } from '../../format/dates'
import { formatAccount } from '../../format/money'
import { formatKg, formatNumber } from '../../format/numbers'
import { useStaffWords, type StaffKey } from '../../i18n/words'
import { Pictogram } from '../../ui/Shape'
import { StateWord } from '../../ui/StateWord'
import { feedName, formatTotal, type OrderDetail } from './orderModel'

/** State, feed, kilograms in bags, day, price, birds: what everybody asks of an order. */
export const OrderFacts = ({ order }: { order: OrderDetail }) => {
  const { t, language } = useStaffWords()
  const bags = Number(order.kg) / Number(order.bagKg)
  const kilos = formatNumber(order.kg, 0)
  const moments = [
    t('order.placed', { date: formatDate(order.placedAt, language) }),
    order.plannedAt && t('order.plannedOn', { date: formatDate(order.plannedAt, language) }),
    order.readyAt && t('order.readyOn', { date: formatDate(order.readyAt, language) }),
    order.collectedAt && t('order.collectedOn', { date: formatDate(order.collectedAt, language) }),
    order.cancelledAt && t('order.cancelledOn', { date: formatDate(order.cancelledAt, language), reason: order.cancelReason ?? '' }),
  ].filter(Boolean)
  return (
    <div className="k-stack">
      <p className="k-row">
        <StateWord thing="order" state={order.status} />
        {order.medicated && (
          <span className="k-strong">
            <Pictogram name="pill" size={20} /> {t('order.medicated')}
          </span>
        )}
        <span>{t('order.due', { date: formatDate(order.dueOn, language) })}</span>
      </p>
      <p>
        <span className="k-strong">{feedName(order, language)}</span>, {t(`stage.${order.stage}` as StaffKey)}
      </p>
      <p className="k-strong k-tabular">
        {Number.isInteger(bags) ? t('unit.kilosAreBags', { kilos, smart_count: bags, size: Number(order.bagKg) }) : formatKg(order.kg, 3)}
      </p>
      <p>
        {t('order.price')}: <b className="k-tabular">{formatTotal(order.priceTotal)}</b>{' '}
        <span className="k-caption">{t('order.perKg', { price: formatAccount(order.pricePerKg) })}</span>
      </p>
      {order.baggedKg !== null && order.baggedKg !== order.kg && (
        <p>{t('order.bagged', { kg: formatKg(order.baggedKg), ordered: formatKg(order.kg) })}</p>
      )}
      <p>
        {t('order.flock')}: {order.flockName}, {t('unit.birds', { smart_count: formatNumber(order.birds, 0) })}
      </p>
      <p className="k-caption">{moments.join('. ')}</p>
    </div>
  )
}
