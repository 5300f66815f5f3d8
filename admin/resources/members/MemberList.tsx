import { usePermissions } from 'react-admin'
import type { Role } from '#contract/access'
import { formatPhone } from '../../format/phones'
import { useStaffWords } from '../../i18n/words'
import { canAccess } from '../../providers/canAccess'
import { ServerList, type ListColumn } from '../../shell/ServerList'
import { usePageTitle } from '../../shell/usePageTitle'
import { Empty } from '../../ui/Waiting'
import type { Member } from './memberModel'

const MemberList = () => {
  const { t } = useStaffWords()
  const { permissions: role } = usePermissions<Role | null>()
  usePageTitle(t('nav.members'))
  const columns: ListColumn<Member>[] = [
    { key: 'name', title: t('people.column.name'), sortBy: 'name', cell: (row) => row.name },
    { key: 'number', title: t('people.column.number'), right: true, sortBy: 'number', cell: (row) => row.number },
    { key: 'phone', title: t('people.column.phone'), cell: (row) => formatPhone(row.phone) },
    { key: 'village', title: t('people.column.village'), sortBy: 'village', cell: (row) => row.village },
    { key: 'flocks', title: t('people.column.flocks'), right: true, cell: (row) => row.flocks },
    { key: 'orders', title: t('people.column.orders'), right: true, cell: (row) => row.openOrders },
  ]
  const add = role && canAccess(role, 'create', 'members') && (
    <a className="k-button" data-kind="main" href="#/members/create">
      {t('people.new')}
    </a>
  )
  return (
    <div className="k-page">
      <div className="k-card-head">
        <h1>{t('nav.members')}</h1>
        {add}
      </div>
      <ServerList<Member>
        resource="members"
        sort={{ field: 'name', order: 'ASC' }}
        search
        columns={columns}
        href={(row) => `/members/${row.id}/show`}
        card={(row) => (
          <>
            <span className="k-strong">
              {row.name}, {row.number}
            </span>
            <span className="k-tabular">{formatPhone(row.phone)}</span>
            {row.village && <span>{row.village}</span>}
            <span>
              {t('people.flockCount', { smart_count: row.flocks })}, {t('people.openOrders', { smart_count: row.openOrders })}
            </span>
          </>
        )}
        empty={<Empty action={add}>{t('people.empty')}</Empty>}
      />
    </div>
  )
}

export default MemberList
