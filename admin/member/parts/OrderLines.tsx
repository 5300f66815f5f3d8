import type { MillView } from '#contract/mill'
import { formatDate, formatMemberTime } from '../../format/dates'
import { formatKg } from '../../format/numbers'
import { useMemberWords } from '../../i18n/words'
import { StateWord } from '../../ui/StateWord'
import { bagsOfFeed, formatTotal, type Order } from '../model'

type OrderProps = { readonly order: Order; readonly mill: MillView }

/** "ready since ..." or the state alone. */
export const OrderState = ({ order, mill }: OrderProps) => {
  const { t, language } = useMemberWords()
  return (
    <p>
      <StateWord thing="order" state={order.status} />
      {order.status === 'ready' && order.readyAt && (
        <span className="m-since">
          {t('member.orders.since', {
            date: formatDate(order.readyAt, language, mill.timeZone),
            time: formatMemberTime(order.readyAt, language, mill.timeZone),
          })}
        </span>
      )}
    </p>
  )
}

/** The code as large as it is said: four digits, each read alone by a screen reader. */
export const Code = ({ code, label }: { code: string; label: string }) => (
  <p className="m-code">
    <span>{label}</span>
    <strong>{code}</strong>
  </p>
)

/** Bags, kilograms, feed, day and price in three lines; `priced`: the price stands beside it already. */
export const OrderLines = ({ order, mill, priced = false }: OrderProps & { readonly priced?: boolean }) => {
  const { t, language } = useMemberWords()
  return (
    <div>
      <p className="k-strong">{bagsOfFeed(order, { t, language })}</p>
      <p className="k-tabular">
        {formatKg(order.kg, 0)}
        {!priced && `, ${formatTotal(order.priceTotal, mill.currency)}`}
      </p>
      {order.baggedKg !== null && order.baggedKg !== order.kg && (
        <p>{t('member.orders.bagged', { kg: formatKg(order.baggedKg), ordered: formatKg(order.kg) })}</p>
      )}
      {order.status !== 'collected' && order.status !== 'cancelled' && (
        <p>{t('member.orders.collectOn', { date: formatDate(order.dueOn, language) })}</p>
      )}
    </div>
  )
}
