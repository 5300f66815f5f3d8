import { formatKg } from '../../format/numbers'
import { usePermissions } from 'react-admin'
import type { Role } from '#contract/access'
import { useStaffWords } from '../../i18n/words'
import { ServerList, type ListColumn } from '../../shell/ServerList'
import { usePageTitle } from '../../shell/usePageTitle'
import { StateWord } from '../../ui/StateWord'
import { Empty } from '../../ui/Waiting'
import { Medicated } from './batchParts'
import { feedName, type Batch } from './batchModel'

/** The loads: for the operator the day's work, the newest on top. */
const BatchList = () => {
  const { t, language } = useStaffWords()
  const { permissions: role } = usePermissions<Role | null>()
  const title = t(role === 'mixer-operator' ? 'nav.today' : 'nav.batches')
  usePageTitle(title)
  const columns: ListColumn<Batch>[] = [
    {
      key: 'number',
      title: t('load.column.number'),
      sortBy: 'number',
      cell: (row) => <span className="k-number-large">{row.number}</span>,
    },
    { key: 'feed', title: t('load.column.feed'), cell: (row) => feedName(row, language) },
    { key: 'kg', title: t('load.column.kg'), right: true, sortBy: 'loadKg', cell: (row) => formatKg(row.loadKg) },
    { key: 'state', title: t('load.column.state'), sortBy: 'status', cell: (row) => <StateWord thing="batch" state={row.status} /> },
    {
      key: 'medicine',
      title: t('load.column.medicine'),
      cell: (row) => (row.medication ? <Medicated /> : t('load.noMedicine')),
    },
    { key: 'member', title: t('load.column.member'), cell: (row) => row.memberName },
  ]
  return (
    <div className="k-page">
      <h1>{title}</h1>
      <ServerList<Batch>
        resource="batches"
        sort={{ field: 'number', order: 'DESC' }}
        search
        filters={[
          { key: 'toWeigh', label: t('load.filter.toWeigh'), filter: { status: 'planned,being-weighed' } },
          { key: 'held', label: t('load.filter.held'), filter: { status: 'on-hold' } },
          { key: 'done', label: t('load.filter.done'), filter: { status: 'done' } },
        ]}
        columns={columns}
        href={(row) => `/batches/${row.id}/show`}
        card={(row) => (
          <>
            <span className="k-line">
              <span className="k-number-large">{t('load.named', { number: row.number })}</span>
              <StateWord thing="batch" state={row.status} />
            </span>
            <span className="k-strong">
              {feedName(row, language)}, <span className="k-tabular">{formatKg(row.loadKg)}</span>
            </span>
            {row.medication && (
              <span>
                <Medicated />
              </span>
            )}
            <span>{row.memberName}</span>
          </>
        )}
        empty={<Empty>{t('load.empty')}</Empty>}
      />
    </div>
  )
}

export default BatchList
