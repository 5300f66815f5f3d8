import { useNavigate, useParams } from 'react-router-dom'
import { formatKg } from '../format/numbers'
import { useStaffWords } from '../i18n/words'
import { useWhole } from '../providers/useWhole'
import { formatTotal, loadKgOf, priceOf, remainingOf, unbegunLoads, type OrderDetail } from '../resources/orders/orderModel'
import { asProblem, useAct } from '../shell/useAct'
import { usePageTitle } from '../shell/usePageTitle'
import { EffectPage } from '../ui/EffectPage'
import { FailureBar } from '../ui/Failure'
import { Loading } from '../ui/Waiting'

const Left = ({ order }: { order: OrderDetail }) => {
  const { t } = useStaffWords()
  const member = order.memberName
  const left = remainingOf(order)
  if (left.kind === 'open') return <p>{t('order.cancelRestOpen', { member })}</p>
  if (left.kind === 'nothing') return <p>{t('order.cancelRestNothing', { member })}</p>
  const told = formatTotal(priceOf(order.kg, order.pricePerKg))
  const facts = { kg: formatKg(left.kg), ordered: formatKg(order.kg), member, price: formatTotal(left.price), told }
  return <p className="k-strong">{t('order.cancelRestReady', facts)}</p>
}

const Decide = ({ order }: { order: OrderDetail }) => {
  const { t } = useStaffWords()
  const navigate = useNavigate()
  const { send, problem } = useAct()
  const loads = unbegunLoads(order)
  const back = () => void navigate(`/orders/${order.id}/show`)
  const cancel = async ({ reason }: { reason: string }) => {
    const path = `/orders/${order.id}/cancel-rest`
    const done = await send<OrderDetail>({ method: 'POST', path, body: { reason }, revision: order.revision })
    if (done) back()
  }
  const numbers = loads.map(({ number }) => number).join(', ')
  return (
    <EffectPage
      title={t('order.cancelRestTitle', { number: order.number })}
      danger
      effect={
        <>
          <p>{t('order.cancelRestLoads', { loads: numbers, smart_count: loads.length })}</p>
          <Left order={order} />
        </>
      }
      confirmLabel={t('order.cancelRestButton', { kg: formatKg(loadKgOf(loads)) })}
      reasonLabel={t('order.cancelRestReason')}
      onConfirm={cancel}
      onCancel={back}
      problem={problem}
    />
  )
}

/** Giving up the loads that nobody began: what becomes free, what the member gets and pays, and the reason that stays with it. */
const CancelRest = () => {
  const { t } = useStaffWords()
  const { id = '' } = useParams()
  const { data: order, error } = useWhole<OrderDetail>('orders', id)
  usePageTitle(order ? t('order.cancelRestTitle', { number: order.number }) : t('nav.orders'))
  if (error) return <FailureBar problem={asProblem(error)} doing="load" />
  return order ? <Decide order={order} /> : <Loading />
}

export default CancelRest
