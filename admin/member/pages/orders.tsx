import { useState } from 'react'
import type { MillView } from '#contract/mill'
import { useMemberWords } from '../../i18n/words'
import { usePageTitle } from '../../shell/usePageTitle'
import { Button } from '../../ui/Button'
import { Card } from '../../ui/Card'
import { Empty } from '../../ui/Waiting'
import { earlierOrders, openOrders, RECENT_ORDERS, type Order } from '../model'
import { Answered } from '../parts/Answered'
import { Code, OrderLines, OrderState } from '../parts/OrderLines'
import { useAnswers } from '../useAnswers'

const OrderEntry = ({ order, mill }: { order: Order; mill: MillView }) => {
  const { t } = useMemberWords()
  return (
    <article className="m-entry">
      <h3>
        <a href={`#/orders/${order.id}`}>{t('member.orders.named', { number: order.number })}</a>
      </h3>
      <OrderState order={order} mill={mill} />
      {order.status === 'ready' && order.collectionCode && <Code code={order.collectionCode} label={t('member.orders.code')} />}
      <OrderLines order={order} mill={mill} />
    </article>
  )
}

const STEP = 10

const Earlier = ({ orders, mill }: { orders: readonly Order[]; mill: MillView }) => {
  const { t } = useMemberWords()
  const [shown, setShown] = useState(STEP)
  if (orders.length === 0) return null
  return (
    <Card title={t('member.orders.earlier')}>
      {orders.slice(0, shown).map((order) => (
        <OrderEntry key={order.id} order={order} mill={mill} />
      ))}
      {orders.length > shown && <Button onPress={() => setShown(shown + STEP)}>{t('member.orders.more')}</Button>}
    </Card>
  )
}

const Open = ({ orders, mill }: { orders: readonly Order[]; mill: MillView }) => {
  const { t } = useMemberWords()
  const open = openOrders(orders)
  if (open.length === 0)
    return (
      <Empty
        action={
          <a className="k-button" data-kind="main" href="#/order">
            {t('member.order.title')}
          </a>
        }
      >
        {t(orders.length === 0 ? 'member.orders.empty' : 'member.orders.noOpen')}
      </Empty>
    )
  return (
    <Card title={t('member.orders.open')}>
      {open.map((order) => (
        <OrderEntry key={order.id} order={order} mill={mill} />
      ))}
    </Card>
  )
}

const Orders = () => {
  const { t } = useMemberWords()
  const answers = useAnswers<[readonly Order[], MillView]>(RECENT_ORDERS, '/mill')
  usePageTitle(t('member.tab.orders'))
  return (
    <div className="k-page m-page">
      <h1>{t('member.tab.orders')}</h1>
      <Answered answers={answers}>
        {([orders, mill]) => (
          <>
            <Open orders={orders} mill={mill} />
            <Earlier orders={earlierOrders(orders)} mill={mill} />
          </>
        )}
      </Answered>
    </div>
  )
}

export default Orders
