import { useNavigate, useParams } from 'react-router-dom'
import { formatKg } from '../format/numbers'
import { useStaffWords } from '../i18n/words'
import { useWhole } from '../providers/useWhole'
import { feedName, type Order, type OrderDetail } from '../resources/orders/orderModel'
import { asProblem, useAct } from '../shell/useAct'
import { usePageTitle } from '../shell/usePageTitle'
import { EffectPage } from '../ui/EffectPage'
import { FailureBar } from '../ui/Failure'
import { Loading } from '../ui/Waiting'

/** Cancelling an order: what will not be made, what becomes free, and the reason that stays with it. */
const CancelOrder = () => {
  const { t, language } = useStaffWords()
  const { id = '' } = useParams()
  const navigate = useNavigate()
  const { data: order, error } = useWhole<OrderDetail>('orders', id)
  const { send, problem } = useAct()
  usePageTitle(order ? t('order.cancelTitle', { number: order.number }) : t('nav.orders'))
  const back = () => void navigate(`/orders/${id}/show`)
  const cancel = async ({ reason }: { reason: string }) => {
    const done = await send<Order>({ method: 'POST', path: `/orders/${id}/cancel`, body: { reason }, revision: order?.revision })
    if (done) back()
  }
  if (error) return <FailureBar problem={asProblem(error)} doing="load" />
  if (!order) return <Loading />
  const facts = { kg: formatKg(order.kg, 0), feed: feedName(order, language), member: order.memberName }
  return (
    <EffectPage
      title={t('order.cancelTitle', { number: order.number })}
      danger
      effect={
        <>
          <p>{t('order.cancelEffect', facts)}</p>
          {order.batches.length > 0 && <p>{t('order.cancelPlanned', { smart_count: order.batches.length })}</p>}
        </>
      }
      confirmLabel={t('order.cancelButton', { number: order.number })}
      reasonLabel={t('order.cancelReason')}
      onConfirm={cancel}
      onCancel={back}
      problem={problem}
    />
  )
}

export default CancelOrder
