import { useState } from 'react'
import { useNavigate, useParams } from 'react-router-dom'
import type { MixView } from '#contract/formulas'
import { formatPrice } from '../format/money'
import { formatKg } from '../format/numbers'
import { useStaffWords } from '../i18n/words'
import { useWhole } from '../providers/useWhole'
import { ingredientName } from '../resources/formula-versions/mixFigures'
import { MixAnswer } from '../resources/formula-versions/MixAnswer'
import { OrderFacts } from '../resources/orders/OrderFacts'
import { feedName, formatTotal, type OrderDetail } from '../resources/orders/orderModel'
import { OrderLoads } from '../resources/orders/OrderShow'
import { useSolution } from '../resources/orders/useSolution'
import { WhyNotPlanned } from '../resources/orders/WhyNotPlanned'
import { asProblem, useAct } from '../shell/useAct'
import { usePageTitle } from '../shell/usePageTitle'
import { Button } from '../ui/Button'
import { Card } from '../ui/Card'
import { CheckShape } from '../ui/CheckShape'
import { EffectPage } from '../ui/EffectPage'
import { FailureBar } from '../ui/Failure'
import { Loading } from '../ui/Waiting'

const FigureRow = ({ label, value }: { label: string; value: string }) => (
  <p className="k-told-figure">
    <span>{label}</span> <span className="k-tabular k-strong">{value}</span>
  </p>
)

const Reserved = ({ order, mix }: { order: OrderDetail; mix: MixView }) => {
  const { t, language } = useStaffWords()
  const left = Number(order.priceTotal) - Number(mix.costTotal ?? 0)
  return (
    <>
      <p>{t('plan.reserves', { kg: formatKg(order.kg, 0), smart_count: mix.amounts.length })}</p>
      <FigureRow label={t('plan.price')} value={formatTotal(order.priceTotal)} />
      <FigureRow label={t('plan.cost')} value={formatPrice(mix.costTotal ?? '0')} />
      {left >= 0 ? (
        <FigureRow label={t('plan.left')} value={formatPrice(left.toFixed(2))} />
      ) : (
        <p>{t('plan.short', { money: formatPrice((-left).toFixed(2)) })}</p>
      )}
      <details className="k-details">
        <summary>{t('plan.toReserve')}</summary>
        {mix.amounts.map((amount) => (
          <FigureRow
            key={amount.lotId}
            label={t('plan.fromLot', { lot: amount.lotNumber, name: ingredientName(amount, language) })}
            value={formatKg(amount.kg, 3)}
          />
        ))}
        <p className="k-caption">{t('plan.rounding')}</p>
      </details>
    </>
  )
}

const Planned = ({ order }: { order: OrderDetail }) => {
  const { t } = useStaffWords()
  return (
    <div className="k-page k-narrow">
      <div role="status">
        <h1>
          <CheckShape verdict="pass" /> {t('plan.done', { number: order.number })}
        </h1>
        <p>{t('plan.doneTold', { kg: formatKg(order.kg, 0), smart_count: order.batches.length })}</p>
      </div>
      <OrderLoads order={order} />
      <div className="k-actions">
        <a className="k-button" data-kind="main" href="#/plan">
          {t('plan.next')}
        </a>
        <a className="k-button" href={`#/orders/${order.id}/show`}>
          {t('plan.toOrder')}
        </a>
      </div>
    </div>
  )
}

const PlanOne = ({ order, onPlanned }: { order: OrderDetail; onPlanned: (order: OrderDetail) => void }) => {
  const { t, language } = useStaffWords()
  const navigate = useNavigate()
  const { data: mix, error, isFetching, refetch } = useSolution(order.id)
  const { send, problem, forget } = useAct()
  const back = () => void navigate('/plan')
  const again = async () => {
    forget()
    await refetch()
  }
  const plan = async () => {
    const done = await send<OrderDetail>({ method: 'POST', path: `/orders/${order.id}/plan`, body: {}, revision: order.revision })
    if (done) onPlanned(done)
  }
  const title = t('plan.orderTitle', { number: order.number })
  const answer = (
    <>
      <Card title={`${order.memberName}, ${feedName(order, language)}`}>
        <OrderFacts order={order} />
      </Card>
      {mix && (
        <Card title={t('mixture.title')}>
          <MixAnswer mix={mix} brief />
        </Card>
      )}
      {problem && <WhyNotPlanned problem={problem} />}
      {(problem || (mix && mix.kind !== 'optimal')) && (
        <div>
          <Button onPress={again} busy={isFetching}>
            {t('plan.again')}
          </Button>
        </div>
      )}
    </>
  )
  if (order.status === 'ordered' && mix?.kind === 'optimal') {
    return (
      <EffectPage
        title={title}
        effect={<Reserved order={order} mix={mix} />}
        confirmLabel={t('plan.button', { kg: formatKg(order.kg, 0) })}
        onConfirm={plan}
        onCancel={back}
      >
        {answer}
      </EffectPage>
    )
  }
  return (
    <div className="k-page k-narrow">
      <h1>{mix && order.status === 'ordered' ? t('plan.cannot', { number: order.number }) : title}</h1>
      {order.status !== 'ordered' && <p>{t('plan.already')}</p>}
      {error && <FailureBar problem={asProblem(error)} doing="load" onTryAgain={again} />}
      {!mix && !error && <Loading rows={5} />}
      {answer}
      <div className="k-actions">
        <Button onPress={back}>{t('action.back')}</Button>
      </div>
    </div>
  )
}

/** Planning one order: the mix it would get now, what is reserved, what it costs against its price; then its loads. */
const PlanOrder = () => {
  const { t } = useStaffWords()
  const { id = '' } = useParams()
  const { data: order, error, refetch } = useWhole<OrderDetail>('orders', id)
  const [planned, setPlanned] = useState<OrderDetail>()
  usePageTitle(order ? t('plan.orderTitle', { number: order.number }) : t('plan.title'))
  if (planned) return <Planned order={planned} />
  if (error) return <FailureBar problem={asProblem(error)} doing="load" onTryAgain={() => void refetch()} />
  return order ? <PlanOne order={order} onPlanned={setPlanned} /> : <Loading rows={5} />
}

export default PlanOrder
