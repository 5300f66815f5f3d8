import { formatDate, formatTime } from '../../format/dates'
import { useStaffWords } from '../../i18n/words'
import { ServerList, type ListColumn } from '../../shell/ServerList'
import { useMay } from '../../providers/useMay'
import { useFilters } from '../../shell/useFilters'
import { usePageTitle } from '../../shell/usePageTitle'
import { Button } from '../../ui/Button'
import { Empty } from '../../ui/Waiting'
import { kindWords, MovementEntries, purposeWords, type Movement } from './movementWords'
import '../lots/lots.css'

/** One lot's movements, when one came from its page; a tap shows all again. */
const OnlyOne = () => {
  const { t } = useStaffWords()
  const { filters, show } = useFilters()
  if (Object.keys(filters).length === 0) return null
  return (
    <div>
      <Button onPress={() => show({})}>{t('action.clearFilter')}</Button>
    </div>
  )
}

/** A movement of many lots is folded: its number of entries stands on the fold. */
const Entries = ({ movement }: { movement: Movement }) => {
  const { t } = useStaffWords()
  if (movement.entries.length <= 2) return <MovementEntries movement={movement} />
  return (
    <details className="k-fold">
      <summary>{t('ledger.entries', { smart_count: movement.entries.length })}</summary>
      <MovementEntries movement={movement} />
    </details>
  )
}

const MovementList = () => {
  const { t, language } = useStaffWords()
  const may = useMay()
  usePageTitle(t('ledger.title'))
  const when = ({ happenedAt }: Movement): string => `${formatDate(happenedAt, language)} ${formatTime(happenedAt)}`
  const told = (row: Movement): string =>
    [purposeWords(row, t), row.reason, row.reversed ? t('stockChange.reverse.was') : ''].filter(Boolean).join(', ')
  const columns: ListColumn<Movement>[] = [
    { key: 'when', title: t('ledger.when'), sortBy: 'happenedAt', cell: when },
    { key: 'what', title: t('ledger.what'), cell: (row) => <span className="k-strong">{kindWords(row.kind, t)}</span> },
    { key: 'for', title: t('ledger.forWhat'), cell: told },
    { key: 'who', title: t('ledger.who'), cell: (row) => row.actor },
    { key: 'how', title: t('ledger.how'), cell: (row) => <Entries movement={row} /> },
  ]
  return (
    <div className="k-page">
      <h1>{t('ledger.title')}</h1>
      <ServerList<Movement>
        resource="stock-movements"
        sort={{ field: 'enteredAt', order: 'DESC' }}
        tools={<OnlyOne />}
        columns={columns}
        card={(row) => (
          <>
            <span className="k-strong">
              {kindWords(row.kind, t)}
              {purposeWords(row, t) && `, ${purposeWords(row, t)}`}
            </span>
            <span className="k-caption">
              {when(row)}, {row.actor}
            </span>
            <Entries movement={row} />
          </>
        )}
        action={(row) =>
          row.mayReverse &&
          may('reverse', 'stock-movements') && (
            <a
              className="k-button"
              href={`#/stock-movements/${row.id}/reverse`}
              aria-label={`${t('stockChange.reverse.open')}: ${kindWords(row.kind, t)}, ${when(row)}`}
            >
              {t('stockChange.reverse.open')}
            </a>
          )
        }
        empty={<Empty>{t('ledger.empty')}</Empty>}
      />
    </div>
  )
}

export default MovementList
