import { formatDate, formatTime } from '../../format/dates'
import { useStaffWords } from '../../i18n/words'
import { useMay } from '../../providers/useMay'
import { ServerList, type ListColumn } from '../../shell/ServerList'
import { usePageTitle } from '../../shell/usePageTitle'
import { StateWord } from '../../ui/StateWord'
import { Empty } from '../../ui/Waiting'
import { discrepancyTold, kindWords, type Discrepancy } from './discrepancyWords'

/** Facts that disagree with the books or the rules, open until the manager closes them with a reason. */
const DiscrepancyList = () => {
  const { t, language } = useStaffWords()
  const may = useMay()
  usePageTitle(t('discrepancy.title'))
  const what = (row: Discrepancy) => (
    <>
      <b>{kindWords(row.kind, t)}</b>
      <br />
      {discrepancyTold(row, { t })}
    </>
  )
  const opened = (row: Discrepancy): string =>
    t('discrepancy.opened', { date: formatDate(row.openedAt, language), time: formatTime(row.openedAt), who: row.openedBy })
  const closed = (row: Discrepancy): string =>
    row.closedAt === null
      ? ''
      : t('discrepancy.closedBy', { who: row.closedBy ?? '', date: formatDate(row.closedAt, language), reason: row.reason ?? '' })
  const state = (row: Discrepancy) => <StateWord thing="discrepancy" state={row.closedAt === null ? 'open' : 'closed'} />
  const columns: ListColumn<Discrepancy>[] = [
    { key: 'number', title: t('discrepancy.column.number'), sortBy: 'number', cell: (row) => row.number },
    { key: 'what', title: t('discrepancy.column.what'), cell: what },
    { key: 'opened', title: t('discrepancy.column.opened'), sortBy: 'openedAt', cell: opened },
    { key: 'state', title: t('discrepancy.column.state'), cell: state },
    { key: 'reason', title: t('discrepancy.column.reason'), cell: closed },
  ]
  return (
    <div className="k-page">
      <h1>{t('discrepancy.title')}</h1>
      <ServerList<Discrepancy>
        resource="discrepancies"
        sort={{ field: 'number', order: 'DESC' }}
        search
        filters={[
          { key: 'open', label: t('discrepancy.filter.open'), filter: { open: 'yes' } },
          { key: 'closed', label: t('discrepancy.filter.closed'), filter: { open: 'no' } },
        ]}
        columns={columns}
        card={(row) => (
          <>
            <span className="k-line">
              <b>{t('discrepancy.named', { number: row.number })}</b> {state(row)}
            </span>
            <span>{what(row)}</span>
            <span className="k-caption">{opened(row)}</span>
            {row.closedAt !== null && <span>{closed(row)}</span>}
          </>
        )}
        action={(row) => (
          <span className="k-row">
            {row.batchId !== null && (
              <a className="k-button" href={`#/batches/${row.batchId}/show`}>
                {t('load.named', { number: row.batchNumber ?? '' })}
              </a>
            )}
            {row.closedAt === null && may('close', 'discrepancies') && (
              <a
                className="k-button"
                href={`#/discrepancies/${row.id}/close`}
                aria-label={t('discrepancy.closeTitle', { number: row.number })}
              >
                {t('discrepancy.close')}
              </a>
            )}
          </span>
        )}
        empty={<Empty>{t('discrepancy.empty')}</Empty>}
      />
    </div>
  )
}

export default DiscrepancyList
