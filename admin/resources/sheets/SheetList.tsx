import { SHEET_STATES } from '#contract/sheets'
import { formatDate } from '../../format/dates'
import { useStaffWords } from '../../i18n/words'
import { useMay } from '../../providers/useMay'
import { ServerList, type ListColumn } from '../../shell/ServerList'
import { usePageTitle } from '../../shell/usePageTitle'
import { Icon } from '../../ui/Shape'
import { Empty } from '../../ui/Waiting'
import { becameOf, stateTold, type Sheet } from './sheetWords'
import { useMayEnter } from './useMayEnter'

const Actions = ({ sheet }: { sheet: Sheet }) => {
  const { t } = useStaffWords()
  const mayEnter = useMayEnter()
  const enter = ['enterThis', `#/enter-sheet?sheet=${sheet.code}`] as const
  const spoil = ['spoil', `#/blank-sheets/${sheet.id}/spoil`] as const
  const links = mayEnter(sheet.kind) ? [enter, spoil] : [spoil]
  return (
    <span className="k-row">
      {links.map(([words, href]) => (
        <a key={words} className="k-button" href={href} aria-label={`${t(`blankSheet.${words}`)}: ${sheet.code}`}>
          {t(`blankSheet.${words}`)}
        </a>
      ))}
    </span>
  )
}

/** The number leads back to its paper while the sheet is blank: a printer that jammed is no reason to take new numbers. */
const Code = ({ sheet, linked }: { sheet: Sheet; linked: boolean }) => {
  const { t } = useStaffWords()
  if (!linked || sheet.state !== 'printed') return <b className="k-tabular">{sheet.code}</b>
  return (
    <a className="k-tabular" href={`#/sheet-bundles/${sheet.bundleId}`} aria-label={`${t('blankSheet.again')}: ${sheet.code}`}>
      <b>{sheet.code}</b>
    </a>
  )
}

/** Every sheet that was printed for power cuts, the newest first, and what became of it. */
const SheetList = () => {
  const words = useStaffWords()
  const { t, language } = words
  const may = useMay()
  usePageTitle(t('blankSheet.title'))
  const printed = ({ printedAt, printedBy }: Sheet) => t('blankSheet.printedBy', { date: formatDate(printedAt, language), who: printedBy })
  const state = (row: Sheet) => {
    const became = becameOf(row, words)
    return (
      <>
        {stateTold(row, words)} {became && <a href={became.href}>{became.what}</a>}
      </>
    )
  }
  const columns: ListColumn<Sheet>[] = [
    {
      key: 'code',
      title: t('blankSheet.column.code'),
      sortBy: 'number',
      cell: (row) => <Code sheet={row} linked={may('create', 'blank-sheets')} />,
    },
    { key: 'kind', title: t('blankSheet.column.kind'), cell: (row) => t(`blankSheet.kind.${row.kind}`) },
    { key: 'printed', title: t('blankSheet.column.printed'), sortBy: 'printedAt', cell: printed },
    { key: 'state', title: t('blankSheet.column.state'), cell: state },
  ]
  const add = may('create', 'blank-sheets') && (
    <a className="k-button" href="#/blank-sheets/create">
      <Icon name="print" size={20} /> {t('blankSheet.print')}
    </a>
  )
  return (
    <div className="k-page">
      <div className="k-card-head">
        <h1>{t('blankSheet.title')}</h1>
        {may('create', 'blank-sheets') && (
          <span className="k-row">
            <a className="k-button" data-kind="main" href="#/enter-sheet">
              {t('blankSheet.enter')}
            </a>
            {add}
          </span>
        )}
      </div>
      <p>{t('blankSheet.lead')}</p>
      <ServerList<Sheet>
        resource="blank-sheets"
        sort={{ field: 'number', order: 'DESC' }}
        search
        filters={SHEET_STATES.map((name) => ({ key: name, label: t(`blankSheet.filter.${name}`), filter: { state: name } }))}
        columns={columns}
        card={(row) => (
          <>
            <span>
              <Code sheet={row} linked={may('create', 'blank-sheets')} />, {t(`blankSheet.kind.${row.kind}`)}
            </span>
            <span>{state(row)}</span>
            <span className="k-caption">
              {t('blankSheet.column.printed')}: {printed(row)}
            </span>
          </>
        )}
        action={(row) => row.state === 'printed' && may('create', 'blank-sheets') && <Actions sheet={row} />}
        empty={<Empty action={add}>{t('blankSheet.empty')}</Empty>}
      />
    </div>
  )
}

export default SheetList
