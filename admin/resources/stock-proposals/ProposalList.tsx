import { formatDate, formatTime } from '../../format/dates'
import { useStaffWords } from '../../i18n/words'
import { useMay } from '../../providers/useMay'
import { ServerList, type ListColumn } from '../../shell/ServerList'
import { usePageTitle } from '../../shell/usePageTitle'
import { Empty } from '../../ui/Waiting'
import { proposalTold, proposedBy, type Proposal } from './proposalWords'

const STATES = ['waiting', 'confirmed', 'refused'] as const

/** Counts and write-offs that one person may not enter alone, with who decided and why. */
const ProposalList = () => {
  const words = useStaffWords()
  const { t, language } = words
  const may = useMay()
  usePageTitle(t('stockChange.proposals.title'))
  const what = (row: Proposal) => (
    <>
      <b>{t(`stockChange.proposals.kind.${row.kind}`)}</b>
      <br />
      {proposalTold(row, words)}
    </>
  )
  const state = (row: Proposal): string =>
    [
      t(`stockChange.proposals.state.${row.status}`),
      row.decidedAt === null || row.decidedBy === null
        ? ''
        : t('stockChange.proposals.decided', {
            who: row.decidedBy,
            when: `${formatDate(row.decidedAt, language)} ${formatTime(row.decidedAt)}`,
          }),
      row.decidedReason ?? '',
    ]
      .filter(Boolean)
      .join(', ')
  const columns: ListColumn<Proposal>[] = [
    { key: 'number', title: t('stockChange.proposals.column.number'), sortBy: 'number', cell: (row) => row.number },
    { key: 'what', title: t('stockChange.proposals.column.what'), cell: what },
    { key: 'who', title: t('stockChange.proposals.column.who'), sortBy: 'proposedAt', cell: (row) => proposedBy(row, words) },
    { key: 'state', title: t('stockChange.proposals.column.state'), cell: state },
  ]
  return (
    <div className="k-page">
      <h1>{t('stockChange.proposals.title')}</h1>
      <p>{t('stockChange.proposals.lead')}</p>
      <ServerList<Proposal>
        resource="stock-proposals"
        sort={{ field: 'number', order: 'DESC' }}
        filters={STATES.map((status) => ({ key: status, label: t(`stockChange.proposals.state.${status}`), filter: { status } }))}
        columns={columns}
        card={(row) => (
          <>
            <b>
              {t('stockChange.proposals.named', { number: row.number })}, {state(row)}
            </b>
            <span>{what(row)}</span>
            <span className="k-caption">{proposedBy(row, words)}</span>
          </>
        )}
        action={(row) =>
          row.status === 'waiting' &&
          may('decide', 'stock-proposals') && (
            <a
              className="k-button"
              href={`#/stock-proposals/${row.id}/decide`}
              aria-label={`${t('stockChange.proposals.decide')}: ${t('stockChange.proposals.named', { number: row.number })}`}
            >
              {t('stockChange.proposals.decide')}
            </a>
          )
        }
        empty={<Empty>{t('stockChange.proposals.empty')}</Empty>}
      />
    </div>
  )
}

export default ProposalList
