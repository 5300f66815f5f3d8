import { formatDate } from '../../format/dates'
import { formatKg } from '../../format/numbers'
import { useStaffWords } from '../../i18n/words'
import { Button } from '../../ui/Button'
import { CheckShape } from '../../ui/CheckShape'
import { Figure } from '../../ui/Figure'
import { feedName, formatTotal, type Order } from './orderModel'

/** What the clerk writes on the member's slip: the order's number and, once only, its code. */
export const Receipt = ({ order, onNext }: { order: Order; onNext: () => void }) => {
  const { t, language } = useStaffWords()
  const bags = Number(order.kg) / Number(order.bagKg)
  return (
    <section className="k-card" role="status">
      <h2>
        <CheckShape verdict="pass" /> {t('order.named', { number: order.number })}, {order.memberName}
      </h2>
      <p>
        {t('counter.received', {
          number: order.number,
          bags: t('unit.bags', { smart_count: bags }),
          feed: feedName(order, language),
          kg: formatKg(order.kg, 0),
          price: formatTotal(order.priceTotal),
          date: formatDate(order.dueOn, language),
        })}
      </p>
      <p>{t('counter.payRule')}</p>
      {order.collectionCode && (
        <>
          <p>{t('counter.code')}</p>
          <Figure value={order.collectionCode} unit="" size="weight" />
          <p>{t('counter.codeNote')}</p>
        </>
      )}
      <div className="k-actions">
        <Button kind="main" onPress={onNext}>
          {t('counter.next')}
        </Button>
        <Button icon="print" onPress={() => print()}>
          {t('counter.print')}
        </Button>
        <a className="k-button" href={`#/orders/${order.id}/show`}>
          {t('counter.openOrder', { number: order.number })}
        </a>
      </div>
    </section>
  )
}
