import { useNavigate, useParams } from 'react-router-dom'
import type { MixView } from '#contract/formulas'
import { formatPrice } from '../format/money'
import { formatKg } from '../format/numbers'
import { useStaffWords } from '../i18n/words'
import { useWhole } from '../providers/useWhole'
import { MixAnswer } from '../resources/formula-versions/MixAnswer'
import { formatTotal, loadKgOf, unbegunLoads, type OrderDetail } from '../resources/orders/orderModel'
import { useSolution } from '../resources/orders/useSolution'
import { WhyNotPlanned } from '../resources/orders/WhyNotPlanned'
import { asProblem, useAct } from '../shell/useAct'
import { usePageTitle } from '../shell/usePageTitle'
import { Button } from '../ui/Button'
import { Card } from '../ui/Card'
import { EffectPage } from '../ui/EffectPage'
import { FailureBar } from '../ui/Failure'
import { Loading } from '../ui/Waiting'

const Effect = ({ order, mix }: { order: OrderDetail; mix: MixView }) => {
  const { t } = useStaffWords()
  const loads = unbegunLoads(order)
  const kg = formatKg(loadKgOf(loads))
  return (
    <>
      <p>{t('order.replanLoads', { loads: loads.map(({ number }) => number).join(', '), smart_count: loads.length })}</p>
      <p>{t('order.replanKg', { kg, smart_count: mix.amounts.length })}</p>
      <p>
        {t('order.replanCost', { kg })}: <b className="k-tabular">{formatPrice(mix.costTotal ?? '0')}</b>
      </p>
      <p>{t('order.replanPrice', { price: formatTotal(order.priceTotal) })}</p>
    </>
  )
}

type CannotProps = { readonly order: OrderDetail; readonly told?: string }

/** There is no new plan: then the other way out stands here. */
const OtherWay = ({ order, told }: CannotProps) => {
  const { t } = useStaffWords()
  return (
    <>
      {told && <p>{told}</p>}
      {order.status === 'being-mixed' && unbegunLoads(order).length > 0 && (
        <div>
          <a className="k-button" data-kind="danger" href={`#/orders/${order.id}/cancel-rest`}>
            {t('order.cancelRest')}
          </a>
        </div>
      )}
    </>
  )
}

const Again = ({ order }: { order: OrderDetail }) => {
  const { t } = useStaffWords()
  const navigate = useNavigate()
  const { data: mix, error, isFetching, refetch } = useSolution(order.id)
  const { send, problem, forget } = useAct()
  const loads = unbegunLoads(order)
  const title = t('order.replanTitle', { number: order.number })
  const back = () => void navigate(`/orders/${order.id}/show`)
  const again = async () => {
    forget()
    await refetch()
  }
  const replan = async ({ reason }: { reason: string }) => {
    const path = `/orders/${order.id}/replan`
    const done = await send<OrderDetail>({ method: 'POST', path, body: { reason }, revision: order.revision })
    if (done) back()
  }
  const answer = (
    <>
      {mix && (
        <Card title={t('mixture.title')}>
          <MixAnswer mix={mix} brief />
        </Card>
      )}
      {problem && <WhyNotPlanned problem={problem} />}
      {(problem || (mix && mix.kind !== 'optimal')) && (
        <>
          <div>
            <Button onPress={again} busy={isFetching}>
              {t('plan.again')}
            </Button>
          </div>
          <OtherWay order={order} told={t('order.replanElse')} />
        </>
      )}
    </>
  )
  if (loads.length > 0 && mix?.kind === 'optimal') {
    return (
      <EffectPage
        title={title}
        effect={<Effect order={order} mix={mix} />}
        confirmLabel={t('order.replanButton', { kg: formatKg(loadKgOf(loads)), smart_count: loads.length })}
        reasonLabel={t('order.replanReason')}
        onConfirm={replan}
        onCancel={back}
      >
        {answer}
      </EffectPage>
    )
  }
  return (
    <div className="k-page k-narrow">
      <h1>{title}</h1>
      {loads.length === 0 && <p>{t('order.replanNone')}</p>}
      {error && (
        <>
          <FailureBar problem={asProblem(error)} doing="load" onTryAgain={again} />
          <OtherWay order={order} />
        </>
      )}
      {loads.length > 0 && !mix && !error && <Loading rows={5} />}
      {loads.length > 0 && answer}
      <div className="k-actions">
        <Button onPress={back}>{t('action.back')}</Button>
      </div>
    </div>
  )
}

/** Planning the unbegun loads again: what is cancelled, the mix their kilograms would get now, and the price that stays. */
const ReplanOrder = () => {
  const { t } = useStaffWords()
  const { id = '' } = useParams()
  const { data: order, error } = useWhole<OrderDetail>('orders', id)
  usePageTitle(order ? t('order.replanTitle', { number: order.number }) : t('nav.orders'))
  if (error) return <FailureBar problem={asProblem(error)} doing="load" />
  return order ? <Again order={order} /> : <Loading rows={5} />
}

export default ReplanOrder
