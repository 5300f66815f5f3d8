import { usePermissions } from 'react-admin'
import { useParams } from 'react-router-dom'
import type { Role } from '#contract/access'
import { formatPrice } from '../../format/money'
import { formatKg, formatPercent } from '../../format/numbers'
import { useStaffWords } from '../../i18n/words'
import { canAccess } from '../../providers/canAccess'
import { useWhole } from '../../providers/useWhole'
import { asProblem } from '../../shell/useAct'
import { usePageTitle } from '../../shell/usePageTitle'
import { Card, Row } from '../../ui/Card'
import { FailureBar } from '../../ui/Failure'
import { StateWord, type StateOf } from '../../ui/StateWord'
import { Loading } from '../../ui/Waiting'
import { Findings } from '../formula-versions/Findings'
import { MixAnswer } from '../formula-versions/MixAnswer'
import { OrderFacts } from './OrderFacts'
import { unbegunLoads, type OrderDetail } from './orderModel'

const BATCH_STATES: readonly StateOf<'batch'>[] = ['planned', 'being-weighed', 'done', 'on-hold', 'cancelled']

const Actions = ({ order, role }: { order: OrderDetail; role: Role }) => {
  const { t } = useStaffWords()
  const may = (action: string): boolean => canAccess(role, action, 'orders')
  const unbegun = unbegunLoads(order).length > 0
  const open = order.status === 'ordered' || order.status === 'planned'
  return (
    <div className="k-actions">
      {order.status === 'ordered' && may('plan') && (
        <a className="k-button" data-kind="main" href={`#/orders/${order.id}/plan`}>
          {t('order.plan')}
        </a>
      )}
      {order.status === 'ready' && may('collect') && (
        <a className="k-button" data-kind="main" href="#/hand-over">
          {t('order.handOver')}
        </a>
      )}
      {unbegun && (order.status === 'planned' || order.status === 'being-mixed') && may('replan') && (
        <a className="k-button" href={`#/orders/${order.id}/replan`}>
          {t('order.replan')}
        </a>
      )}
      {unbegun && order.status === 'being-mixed' && may('cancel-rest') && (
        <a className="k-button" data-kind="danger" href={`#/orders/${order.id}/cancel-rest`}>
          {t('order.cancelRest')}
        </a>
      )}
      {open && may('cancel') && (
        <a className="k-button" data-kind="danger" href={`#/orders/${order.id}/cancel`}>
          {t('order.cancel')}
        </a>
      )}
    </div>
  )
}

// Rounded up, so that what is claimed stays true.
const gapShown = (gapPct: number): string => formatPercent(Math.max(0.01, Math.ceil(gapPct * 100) / 100), 2)

/** How near a load is to the cheapest that can be weighed; nothing for loads planned before this was kept. */
const NearCheapest = ({ batch: { gapPct, proven, bagsCostPct } }: { batch: OrderDetail['batches'][number] }) => {
  const { t } = useStaffWords()
  if (gapPct === null || proven === null) return null
  return (
    <p className="k-caption k-tabular">
      {t(proven ? 'order.loadProven' : 'order.loadStopped', { gap: gapShown(gapPct) })}
      {bagsCostPct !== null && bagsCostPct > 0 && `. ${t('order.loadBags', { cost: gapShown(bagsCostPct) })}`}
    </p>
  )
}

/** The loads of an order, each with its state and the way to it. */
export const OrderLoads = ({ order }: { order: OrderDetail }) => {
  const { t } = useStaffWords()
  return (
    <Card title={t('order.loads')}>
      {order.batches.length === 0 && <p>{t('order.noLoads')}</p>}
      {order.batches.map((batch) => {
        const state = BATCH_STATES.find((known) => known === batch.status)
        return (
          <Row
            key={batch.id}
            action={
              <a className="k-button" href={`#/batches/${batch.id}/show`}>
                {t('action.open')}
              </a>
            }
          >
            <span className="k-row">
              <span className="k-strong">{t('order.load', { number: batch.number })}</span>
              <span className="k-tabular">{formatKg(batch.loadKg)}</span>
              {state && <StateWord thing="batch" state={state} />}
            </span>
            <NearCheapest batch={batch} />
          </Row>
        )
      })}
    </Card>
  )
}

const OrderPage = ({ order, role }: { order: OrderDetail; role: Role }) => {
  const { t } = useStaffWords()
  const seesMember = canAccess(role, 'read', 'members')
  return (
    <>
      <h1>
        {t('order.named', { number: order.number })},{' '}
        {seesMember ? <a href={`#/members/${order.memberId}/show`}>{order.memberName}</a> : order.memberName}
      </h1>
      <Actions order={order} role={role} />
      <div className="k-columns">
        <div className="k-stack">
          <Card>
            <OrderFacts order={order} />
            {order.costTotal && (
              <p>
                {t('order.cost')}: <b className="k-tabular">{formatPrice(order.costTotal)}</b>; {t('order.margin')}:{' '}
                <b className="k-tabular">{formatPrice((Number(order.priceTotal) - Number(order.costTotal)).toFixed(2))}</b>
              </p>
            )}
          </Card>
          <OrderLoads order={order} />
          <Card title={t('formula.checks')}>
            <Findings findings={order.findings} />
          </Card>
        </div>
        {order.mix && (
          <Card title={t('order.mix')}>
            {/* its findings stand with those of the order */}
            <MixAnswer mix={{ ...order.mix, findings: [] }} brief />
          </Card>
        )}
      </div>
    </>
  )
}

const OrderShow = () => {
  const { t } = useStaffWords()
  const { id = '' } = useParams()
  const { permissions: role } = usePermissions<Role | null>()
  const { data: order, error, refetch } = useWhole<OrderDetail>('orders', id)
  usePageTitle(order ? t('order.title', { number: order.number, member: order.memberName }) : t('nav.orders'))
  return (
    <div className="k-page">
      {error && <FailureBar problem={asProblem(error)} doing="load" onTryAgain={() => void refetch()} />}
      {!error && (!order || !role) && <Loading rows={5} />}
      {order && role && <OrderPage order={order} role={role} />}
    </div>
  )
}

export default OrderShow
