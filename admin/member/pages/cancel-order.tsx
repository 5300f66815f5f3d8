import { useState } from 'react'
import type { MillView } from '#contract/mill'
import { formatKg } from '../../format/numbers'
import { useMemberWords } from '../../i18n/words'
import { newKey } from '../../providers/http'
import { usePageTitle } from '../../shell/usePageTitle'
import { EffectPage } from '../../ui/EffectPage'
import { Empty } from '../../ui/Waiting'
import { bagsOfFeed, canCancel, formatTotal, type Order, type OrderDetail } from '../model'
import { Answered } from '../parts/Answered'
import { goTo } from '../router'
import { useAnswers } from '../useAnswers'
import { useSend } from '../useSend'

const Cancel = ({ order, mill }: { order: OrderDetail; mill: MillView }) => {
  const { t, language } = useMemberWords()
  const { send, problem } = useSend()
  const [key] = useState(newKey)
  const title = t('member.orders.cancelTitle', { number: order.number })
  const back = () => goTo(`/orders/${order.id}`)
  const cancel = async ({ reason }: { reason: string }) => {
    const path = `/orders/${order.id}/cancel`
    const cancelled = await send<Order>({ method: 'POST', path, body: { reason }, key, revision: order.revision })
    if (cancelled) back()
  }
  return (
    <EffectPage
      title={title}
      effect={t('member.orders.cancelEffect', {
        bags: bagsOfFeed(order, { t, language }),
        kg: formatKg(order.kg, 0),
        price: formatTotal(order.priceTotal, mill.currency),
      })}
      confirmLabel={title}
      danger
      reasonLabel={t('member.orders.cancelReason')}
      onConfirm={cancel}
      onCancel={back}
      problem={problem}
    />
  )
}

const CancelPage = ({ params }: { params: Readonly<Record<string, string>> }) => {
  const { t } = useMemberWords()
  const id = params['id'] ?? ''
  const answers = useAnswers<[OrderDetail, MillView]>(`/orders/${id}`, '/mill')
  usePageTitle(t('action.cancelOrder'))
  return (
    <Answered answers={answers}>
      {([order, mill]) =>
        canCancel(order) ? (
          <Cancel order={order} mill={mill} />
        ) : (
          <div className="k-page m-page">
            <Empty
              action={
                <a className="k-button" href={`#/orders/${id}`}>
                  {t('action.back')}
                </a>
              }
            >
              {t('member.orders.cancelLate', { state: t(`state.order.${order.status}`) })}
            </Empty>
          </div>
        )
      }
    </Answered>
  )
}

export default CancelPage
