import type { MillView } from '#contract/mill'
import { formatDate, formatShortDate } from '../../format/dates'
import { formatKg, formatNumber } from '../../format/numbers'
import { useMemberWords } from '../../i18n/words'
import { usePageTitle } from '../../shell/usePageTitle'
import { Card } from '../../ui/Card'
import { Empty } from '../../ui/Waiting'
import { feedAtHome, kgPerDay, type FeedAtHome } from '../feedAtHome'
import { asLine, formatTotal, OFFERS, openOrders, RECENT_ORDERS, type Offer, type Order } from '../model'
import { Answered } from '../parts/Answered'
import { CallMill } from '../parts/CallMill'
import { Code, OrderLines, OrderState } from '../parts/OrderLines'
import { useMemberSession } from '../session'
import { useAnswers } from '../useAnswers'

const gramsText = (grams: number | null): string => `${formatNumber(grams ?? 0, 0)}\u00a0g`

/** How long it lasts in large, then what it was worked out from; said plainly where it is not known. */
const Lasts = ({ offer, feed }: { offer: Offer; feed: FeedAtHome<Order> }) => {
  const { t, language } = useMemberWords()
  if (feed.kind === 'unknown')
    return (
      <>
        <p>
          <span className="k-known-patch">{t('member.home.unknown')}</span>
        </p>
        <p>{t(feed.why === 'no-intake' ? 'member.home.noIntake' : 'member.home.nothingCollected')}</p>
      </>
    )
  const until = formatDate(feed.until, language)
  const large =
    feed.daysLeft < 0
      ? t('member.home.ended', { date: until })
      : feed.daysLeft === 0
        ? t('member.home.lastsToday')
        : t('member.home.lasts', { smart_count: feed.daysLeft })
  return (
    <>
      <p className="m-answer">{large}</p>
      {feed.daysLeft > 0 && <p className="k-strong">{t('member.home.until', { date: until })}</p>}
      {feed.next && <p>{t('member.home.withOrder', { number: feed.next.number, date: formatDate(feed.next.until, language) })}</p>}
      <p className="k-caption">
        {t('member.home.basis', {
          kg: formatKg(feed.last.kg, 0),
          date: formatShortDate(feed.last.collectedAt ?? feed.last.dueOn, language),
          grams: gramsText(offer.gramsPerBirdDay),
        })}
      </p>
    </>
  )
}

const FlockFeed = ({ offer, orders }: { offer: Offer; orders: readonly Order[] }) => {
  const { t } = useMemberWords()
  const daily = kgPerDay(offer)
  const birds = asLine(t('unit.birds', { smart_count: offer.birds }))
  return (
    <div className="m-flock">
      <p className="k-strong">{offer.flockName}</p>
      <p className="k-caption">{daily === null ? birds : t('member.home.eats', { birds, kg: formatKg(daily, 0) })}</p>
      <Lasts offer={offer} feed={feedAtHome(offer, orders, new Date())} />
    </div>
  )
}

const FeedCard = ({ offers, orders }: { offers: readonly Offer[]; orders: readonly Order[] }) => {
  const { t } = useMemberWords()
  const [only] = offers
  if (!only)
    return (
      <Empty
        action={
          <a className="k-button" data-kind="main" href="#/birds/new">
            {t('member.birds.add')}
          </a>
        }
      >
        {t('member.order.noFlocks')}
      </Empty>
    )
  return (
    <Card title={t('member.home.feed')}>
      {offers.map((offer) => (
        <FlockFeed key={offer.id} offer={offer} orders={orders} />
      ))}
      <a className="k-button" data-kind="main" data-wide href={offers.length === 1 ? `#/order/${only.id}` : '#/order'}>
        {t('member.home.order')}
      </a>
    </Card>
  )
}

const OrderCard = ({ order, mill }: { order: Order; mill: MillView }) => {
  const { t } = useMemberWords()
  return (
    <Card
      title={t('member.orders.named', { number: order.number })}
      action={
        <a className="m-more" href={`#/orders/${order.id}`}>
          {t('action.open')}
        </a>
      }
    >
      <OrderState order={order} mill={mill} />
      {order.status === 'ready' && order.collectionCode && (
        <div className="m-pay">
          <Code code={order.collectionCode} label={t('member.orders.code')} />
          <Code code={formatTotal(order.priceTotal, mill.currency)} label={t('member.order.toPay')} />
        </div>
      )}
      <OrderLines order={order} mill={mill} priced={order.status === 'ready'} />
    </Card>
  )
}

const Orders = ({ orders, mill }: { orders: readonly Order[]; mill: MillView }) => {
  const { t } = useMemberWords()
  const open = openOrders(orders)
  if (open.length === 0)
    return (
      <Empty
        action={
          orders.length > 0 && (
            <a className="k-button" href="#/orders">
              {t('member.home.orders')}
            </a>
          )
        }
      >
        {t('member.home.noOrders')}
      </Empty>
    )
  return open.map((order) => <OrderCard key={order.id} order={order} mill={mill} />)
}

/** The member's three questions: how long does my feed last, is my order ready and what do I pay, is anything wrong with my bags. */
const Home = () => {
  const { t } = useMemberWords()
  const { user } = useMemberSession()
  const answers = useAnswers<[readonly Offer[], readonly Order[], MillView]>(OFFERS, RECENT_ORDERS, '/mill')
  usePageTitle(t('member.tab.home'))
  return (
    <div className="k-page m-page">
      <h1>{t('member.hello', { name: user?.name.split(' ')[0] ?? '' })}</h1>
      <Answered answers={answers}>
        {([offers, orders, mill]) => (
          <>
            <FeedCard offers={offers} orders={orders} />
            <Orders orders={orders} mill={mill} />
            <Card title={t('member.home.bags')}>
              <p>{t('member.home.bagsNote')}</p>
              <CallMill mill={mill} />
            </Card>
          </>
        )}
      </Answered>
    </div>
  )
}

export default Home
