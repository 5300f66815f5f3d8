import type { MillView } from '#contract/mill'
import { formatDate, formatMemberTime } from '../../format/dates'
import { formatAccount } from '../../format/money'
import { useMemberWords, type MemberKey } from '../../i18n/words'
import { usePageTitle } from '../../shell/usePageTitle'
import { Card } from '../../ui/Card'
import { findingWords } from '../../ui/findingWords'
import { RefusalList } from '../../ui/RefusalCard'
import { canCancel, formatTotal, type OrderDetail } from '../model'
import { Answered } from '../parts/Answered'
import { CallMill } from '../parts/CallMill'
import { Code, OrderLines, OrderState } from '../parts/OrderLines'
import { useAnswers } from '../useAnswers'

type PartProps = { readonly order: OrderDetail; readonly mill: MillView }

const STEPS = [
  ['placedAt', 'member.orders.placed'],
  ['plannedAt', 'member.orders.planned'],
  ['readyAt', 'member.orders.ready'],
  ['collectedAt', 'member.orders.collected'],
  ['cancelledAt', 'member.orders.cancelled'],
] as const satisfies readonly (readonly [keyof OrderDetail, MemberKey])[]

const History = ({ order, mill }: PartProps) => {
  const { t, language } = useMemberWords()
  return (
    <Card title={t('member.orders.history')}>
      <ul className="k-quiet-list">
        {STEPS.map(([moment, words]) => {
          const at = order[moment]
          return at === null ? null : (
            <li key={moment}>
              <span className="k-strong">{t(words)}</span> {formatDate(at, language, mill.timeZone)},{' '}
              {formatMemberTime(at, language, mill.timeZone)}
            </li>
          )
        })}
      </ul>
      {order.cancelReason && <p>{t('member.orders.reason', { reason: order.cancelReason })}</p>}
    </Card>
  )
}

const Next = ({ order, mill }: PartProps) => {
  const { t, language } = useMemberWords()
  return (
    <Card title={t('member.received.next')}>
      <ol className="m-steps">
        <li>{t('member.received.mixed')}</li>
        <li>{t('member.received.collect', { date: formatDate(order.dueOn, language) })}</li>
        <li>{t('member.received.pay', { price: formatTotal(order.priceTotal, mill.currency) })}</li>
      </ol>
    </Card>
  )
}

const Facts = ({ order, mill }: PartProps) => {
  const { t } = useMemberWords()
  const past = order.status === 'collected' || order.status === 'cancelled'
  return (
    <Card>
      <OrderState order={order} mill={mill} />
      {!past && order.collectionCode && (
        <>
          <Code code={order.collectionCode} label={t('member.received.code')} />
          <p className="k-caption">{t('member.received.codeNote')}</p>
        </>
      )}
      <OrderLines order={order} mill={mill} />
      <p>{t('member.orders.for', { flock: order.flockName })}</p>
      <p className="k-caption">{t('member.orders.perKg', { price: formatAccount(order.pricePerKg, mill.currency) })}</p>
      {order.medicated && <p className="k-strong">{t('medicine.medicated')}</p>}
    </Card>
  )
}

const Warnings = ({ order }: { order: OrderDetail }) => {
  const { t, language } = useMemberWords()
  const warnings = order.findings.filter(({ severity }) => severity !== 'pass')
  if (warnings.length === 0) return null
  return (
    <Card title={t('member.orders.warnings')}>
      <RefusalList
        findings={warnings.map((finding) => ({ ...findingWords(finding, { t, language }), next: t('member.orders.warningNext') }))}
      />
    </Card>
  )
}

const Change = ({ order, mill }: PartProps) => {
  const { t } = useMemberWords()
  if (canCancel(order))
    return (
      <div>
        <a className="k-button" data-kind="danger" href={`#/orders/${order.id}/cancel`}>
          {t('action.cancelOrder')}
        </a>
      </div>
    )
  if (order.status !== 'being-mixed' && order.status !== 'ready') return null
  return (
    <div className="k-stack">
      <p>{t('member.orders.call')}</p>
      <CallMill mill={mill} />
    </div>
  )
}

/** One order; `placedNow` when it was placed a moment ago: then the receipt with what happens next. */
const OneOrder = ({ id, placedNow }: { id: string; placedNow: boolean }) => {
  const { t } = useMemberWords()
  const answers = useAnswers<[OrderDetail, MillView]>(`/orders/${id}`, '/mill')
  const number = answers.bodies?.[0].number
  // an old receipt that is opened again tells how far the order is
  const received = placedNow && answers.bodies?.[0].status === 'ordered'
  const title = number === undefined ? t('member.tab.orders') : t('member.orders.named', { number })
  usePageTitle(title)
  return (
    <div className="k-page m-page">
      <h1>{received && number !== undefined ? t('member.received.title', { number }) : title}</h1>
      <Answered answers={answers}>
        {([order, mill]) => (
          <>
            <Facts order={order} mill={mill} />
            {received ? <Next order={order} mill={mill} /> : <History order={order} mill={mill} />}
            <Warnings order={order} />
            {!received && <Change order={order} mill={mill} />}
            <a className="k-button" href="#/orders">
              {t('member.tab.orders')}
            </a>
          </>
        )}
      </Answered>
    </div>
  )
}

type PageProps = { readonly params: Readonly<Record<string, string>> }
export const OrderPage = ({ params }: PageProps) => <OneOrder id={params['id'] ?? ''} placedNow={false} />
export const ReceiptPage = ({ params }: PageProps) => <OneOrder id={params['id'] ?? ''} placedNow />
