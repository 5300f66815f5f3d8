import { useDataProvider, useGetList } from 'react-admin'
import { useQuery } from '@tanstack/react-query'
import type { z } from 'zod'
import type { HomeView } from '#contract/home'
import { formatDate, isoDay } from '../format/dates'
import { formatKg } from '../format/numbers'
import { useStaffWords } from '../i18n/words'
import type { MillDataProvider } from '../providers/dataProvider'
import { feedName, type Order } from '../resources/orders/orderModel'
import { asProblem } from '../shell/useAct'
import { usePageTitle } from '../shell/usePageTitle'
import { Card, Row } from '../ui/Card'
import { CheckWord } from '../ui/CheckShape'
import { FailureBar } from '../ui/Failure'
import { Pictogram } from '../ui/Shape'
import { StateWord, type StateOf } from '../ui/StateWord'
import { Empty, Loading } from '../ui/Waiting'

type HomeNow = z.output<typeof HomeView>
const SHOWN = 100
const STATES: readonly StateOf<'batch'>[] = ['planned', 'being-weighed', 'done', 'on-hold', 'cancelled']
const sumKg = (masses: readonly string[]): string =>
  formatKg(
    masses.reduce((sum, kg) => sum + Number(kg), 0),
    0,
  )

const Waiting = () => {
  const { t, language } = useStaffWords()
  const { data, error, refetch } = useGetList<Order>('orders', {
    pagination: { page: 1, perPage: SHOWN },
    sort: { field: 'dueOn', order: 'ASC' },
    filter: { status: 'ordered' },
  })
  const today = isoDay(new Date().toISOString())
  return (
    <Card title={t('plan.waiting')}>
      {error && <FailureBar problem={asProblem(error)} doing="load" onTryAgain={() => void refetch()} />}
      {!data && !error && <Loading />}
      {data?.length === 0 && <Empty>{t('plan.nothing')}</Empty>}
      {data && data.length > 0 && (
        <p className="k-strong">{t('plan.waitingTold', { smart_count: data.length, kg: sumKg(data.map(({ kg }) => kg)) })}</p>
      )}
      {data?.map((order) => (
        <Row
          key={order.id}
          action={
            <a className="k-button" data-kind="main" href={`#/orders/${order.id}/plan`}>
              {t('order.plan')}
            </a>
          }
        >
          <a className="k-strong" href={`#/orders/${order.id}/show`}>
            {t('order.named', { number: order.number })}
          </a>
          , {order.memberName}
          <br />
          {feedName(order, language)}, <b className="k-tabular">{formatKg(order.kg, 0)}</b>
          {order.medicated && `, ${t('order.medicated')}`}
          <br />
          {order.dueOn < today ? (
            <span className="k-row">
              <CheckWord verdict="warn" /> {t('plan.late', { date: formatDate(order.dueOn, language) })}
            </span>
          ) : (
            t('order.due', { date: formatDate(order.dueOn, language) })
          )}
        </Row>
      ))}
    </Card>
  )
}

const Load = ({ load }: { load: HomeNow['loads'][number] }) => {
  const { t, language } = useStaffWords()
  const state = STATES.find((known) => known === load.status)
  return (
    <Row
      action={
        <a className="k-button" href={`#/batches/${load.id}/show`}>
          {t('action.open')}
        </a>
      }
    >
      <span className="k-row">
        <span className="k-strong">{t('order.load', { number: load.number })}</span>
        {state && <StateWord thing="batch" state={state} />}
        {load.medicated && (
          <span>
            <Pictogram name="pill" size={20} /> {t('order.medicated')}
          </span>
        )}
      </span>
      <span>
        {feedName(load, language)}, <b className="k-tabular">{formatKg(load.loadKg)}</b>
      </span>
    </Row>
  )
}

const Loads = () => {
  const { t } = useStaffWords()
  const mill = useDataProvider<MillDataProvider>()
  const { data, error, refetch } = useQuery({
    queryKey: ['home'],
    queryFn: ({ signal }) => mill.act<HomeNow>('GET', '/home', undefined, { signal }),
  })
  return (
    <Card title={t('plan.loads')}>
      {error && <FailureBar problem={asProblem(error)} doing="load" onTryAgain={() => void refetch()} />}
      {!data && !error && <Loading />}
      {data?.loads.length === 0 && <Empty>{t('plan.noLoads')}</Empty>}
      {data && data.loads.length > 0 && (
        <p className="k-strong">
          {t('plan.loadsTold', { smart_count: data.loads.length, kg: sumKg(data.loads.map(({ loadKg }) => loadKg)), done: data.loadsDone })}
        </p>
      )}
      {data?.loads.map((load) => (
        <Load key={load.id} load={load} />
      ))}
    </Card>
  )
}

/** The manager's planning: orders that wait, by the day they are collected, and the loads that come of them. */
const Plan = () => {
  const { t } = useStaffWords()
  usePageTitle(t('plan.title'))
  return (
    <div className="k-page">
      <h1>{t('plan.title')}</h1>
      <div className="k-columns">
        <Waiting />
        <Loads />
      </div>
    </div>
  )
}

export default Plan
