import { usePermissions } from 'react-admin'
import type { Role } from '#contract/access'
import { daysFrom, formatDate, isoDay } from '../../format/dates'
import { formatKg } from '../../format/numbers'
import { useStaffWords } from '../../i18n/words'
import { canAccess } from '../../providers/canAccess'
import { ServerList, type ListColumn } from '../../shell/ServerList'
import { usePageTitle } from '../../shell/usePageTitle'
import { StateWord } from '../../ui/StateWord'
import { Empty } from '../../ui/Waiting'
import { feedName, formatTotal, type Order } from './orderModel'

const WEEK_DAYS = 7

const OrderList = () => {
  const { t, language } = useStaffWords()
  const { permissions: role } = usePermissions<Role | null>()
  usePageTitle(t('nav.orders'))
  const weekEnd = daysFrom(isoDay(new Date().toISOString()), WEEK_DAYS).at(-1) ?? ''
  const number = (row: Order): string => t('order.named', { number: row.number })
  const columns: ListColumn<Order>[] = [
    { key: 'number', title: t('order.column.number'), sortBy: 'number', cell: number },
    { key: 'member', title: t('order.column.member'), cell: (row) => row.memberName },
    { key: 'feed', title: t('order.column.feed'), cell: (row) => feedName(row, language) },
    { key: 'kg', title: t('order.column.kg'), right: true, sortBy: 'kg', cell: (row) => formatKg(row.kg, 0) },
    { key: 'due', title: t('order.column.due'), sortBy: 'dueOn', cell: (row) => formatDate(row.dueOn, language) },
    { key: 'price', title: t('order.column.price'), right: true, cell: (row) => formatTotal(row.priceTotal) },
    { key: 'state', title: t('order.column.state'), sortBy: 'status', cell: (row) => <StateWord thing="order" state={row.status} /> },
  ]
  const place = role && canAccess(role, 'create', 'orders') && (
    <a className="k-button" data-kind="main" href="#/orders/create">
      {t('order.new')}
    </a>
  )
  return (
    <div className="k-page">
      <div className="k-card-head">
        <h1>{t('nav.orders')}</h1>
        {place}
      </div>
      <ServerList<Order>
        resource="orders"
        sort={{ field: 'number', order: 'DESC' }}
        search
        filters={[
          { key: 'toPlan', label: t('order.filter.toPlan'), filter: { status: 'ordered' } },
          { key: 'planned', label: t('order.filter.planned'), filter: { status: 'planned,being-mixed' } },
          { key: 'ready', label: t('order.filter.ready'), filter: { status: 'ready' } },
          { key: 'week', label: t('order.filter.week'), filter: { status: 'ordered,planned,being-mixed,ready', dueBy: weekEnd } },
        ]}
        columns={columns}
        href={(row) => `/orders/${row.id}/show`}
        card={(row) => (
          <>
            <span className="k-row">
              <span className="k-strong">{number(row)}</span>
              <StateWord thing="order" state={row.status} />
            </span>
            <span>{row.memberName}</span>
            <span>
              {feedName(row, language)}, <b className="k-tabular">{formatKg(row.kg, 0)}</b>
            </span>
            <span>{t('order.due', { date: formatDate(row.dueOn, language) })}</span>
          </>
        )}
        empty={<Empty action={place}>{t('order.empty')}</Empty>}
      />
    </div>
  )
}

export default OrderList
