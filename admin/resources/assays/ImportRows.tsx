import { useState, type ReactNode } from 'react'
import { formatDate } from '../../format/dates'
import { formatFigure } from '../../format/numbers'
import { useStaffWords } from '../../i18n/words'
import { useFaultWords } from '../../shell/useFaultWords'
import { useWide } from '../../shell/useWide'
import { Button } from '../../ui/Button'
import { ingredientOf, useIngredientName } from '../ingredients/names'
import { analyteName, resultWords } from '../lots/lotWords'
import { importFaultWords, type ImportFault, type ImportResult } from './importWords'
import { ROWS_AN_ANSWER, type Import } from './useImport'

const ROWS_A_PAGE = 25

type Column<R> = { readonly key: string; readonly title: string; readonly right?: boolean; readonly cell: (row: R) => ReactNode }
type RowsProps<R> = { readonly rows: readonly R[]; readonly columns: readonly Column<R>[]; readonly keyOf: (row: R) => string }

/** A table at a desk; on a phone one card a row, each figure with its heading. */
const Rows = <R,>({ rows, columns, keyOf }: RowsProps<R>) => {
  const wide = useWide()
  if (!wide)
    return (
      <ul className="k-quiet-list k-stack">
        {rows.map((row) => (
          <li key={keyOf(row)} className="k-card">
            <dl className="k-facts">
              {columns.map(({ key, title, cell }) => (
                <div key={key} style={{ display: 'contents' }}>
                  <dt>{title}</dt>
                  <dd>{cell(row)}</dd>
                </div>
              ))}
            </dl>
          </li>
        ))}
      </ul>
    )
  return (
    <table className="k-table">
      <thead>
        <tr>
          {columns.map(({ key, title, right }) => (
            <th key={key} scope="col" data-align={right ? 'right' : undefined}>
              {title}
            </th>
          ))}
        </tr>
      </thead>
      <tbody>
        {rows.map((row) => (
          <tr key={keyOf(row)}>
            {columns.map(({ key, cell, right }) => (
              <td key={key} data-align={right ? 'right' : undefined}>
                {cell(row)}
              </td>
            ))}
          </tr>
        ))}
      </tbody>
    </table>
  )
}

const FaultRows = ({ rows }: { rows: readonly ImportFault[] }) => {
  const { t } = useStaffWords()
  const others = useFaultWords()
  const columns: Column<ImportFault>[] = [
    { key: 'row', title: t('assayImport.row'), cell: ({ row }) => row },
    { key: 'column', title: t('assayImport.column'), cell: ({ header }) => header || t('assayImport.wholeRow') },
    { key: 'typed', title: t('assayImport.typed'), cell: ({ facts }) => facts['typed'] ?? '' },
    { key: 'wrong', title: t('assayImport.wrong'), cell: (fault) => importFaultWords(fault, t, others) },
  ]
  return <Rows rows={rows} columns={columns} keyOf={({ row, column, code }) => `${row} ${column} ${code}`} />
}

/** Whether the figure stands otherwise in the file than in the books. */
const isConverted = ({ typed, value, unit }: ImportResult): boolean => typed.replace(/\s/g, '') !== `${value}${unit}`

const Figure = ({ row }: { row: ImportResult }) => {
  const { t } = useStaffWords()
  const usual = row.usual && { low: formatFigure(row.usual.low, 2), high: formatFigure(row.usual.high, 2), unit: row.unit }
  return (
    <>
      <span className="k-strong">{resultWords(row, t)}</span>
      {isConverted(row) && (
        <>
          <br />
          <span className="k-caption">{t('assayImport.converted', { typed: row.typed })}</span>
        </>
      )}
      {usual && (
        <>
          <br />
          <span className="k-caption">{t('assayImport.usual', usual)}</span>
        </>
      )}
    </>
  )
}

const ResultRows = ({ rows }: { rows: readonly ImportResult[] }) => {
  const { t, language } = useStaffWords()
  const nameOf = useIngredientName()
  const columns: Column<ImportResult>[] = [
    { key: 'row', title: t('assayImport.row'), cell: ({ row }) => row },
    {
      key: 'lot',
      title: t('lots.lot'),
      cell: (row) => <a href={`#/lots/${row.lotId}/show`}>{t('lots.named', { number: row.lotNumber, name: nameOf(ingredientOf(row)) })}</a>,
    },
    { key: 'analyte', title: t('lab.analyte'), cell: ({ analyte }) => analyteName(analyte, t) },
    { key: 'result', title: t('lab.result'), right: true, cell: (row) => <Figure row={row} /> },
    { key: 'day', title: t('lab.day'), cell: ({ measuredOn }) => formatDate(measuredOn, language) },
    { key: 'method', title: t('lab.methodShort'), cell: ({ method }) => method },
    { key: 'laboratory', title: t('lab.laboratory'), cell: ({ laboratory }) => laboratory },
  ]
  return <Rows rows={rows} columns={columns} keyOf={({ row }) => String(row)} />
}

type List = 'faults' | 'unusual' | 'good'

/** What becomes of each row: three lists, the one that needs a person first. */
export const ImportRows = ({ run, check }: { run: Import; check: NonNullable<Import['check']> }) => {
  const { t } = useStaffWords()
  const counts: Readonly<Record<List, number>> = { faults: check.faults, unusual: check.unusual, good: check.good }
  const lists = (['faults', 'unusual', 'good'] as const).filter((name) => counts[name] > 0)
  const [asked, setAsked] = useState<List>()
  const [from, setFrom] = useState(0)
  const list = asked !== undefined && lists.includes(asked) ? asked : lists[0]
  if (list === undefined) return null
  const total = counts[list]
  const inAnswer = from - (check.page - 1) * ROWS_AN_ANSWER
  const page = <R,>(rows: readonly R[]): readonly R[] => rows.slice(Math.max(0, inAnswer), inAnswer + ROWS_A_PAGE)
  const show = (name: List, first: number): void => {
    setAsked(name)
    setFrom(first)
    const answer = Math.floor(first / ROWS_AN_ANSWER) + 1
    if (answer !== check.page) void run.checkAgain(answer)
  }
  return (
    <>
      <div className="k-row" role="group" aria-label={t('assayImport.listLabel')}>
        {lists.map((name) => (
          <Button key={name} kind={name === list ? 'main' : 'plain'} pressed={name === list} onPress={() => show(name, 0)}>
            {t(`assayImport.lists.${name}`, { count: counts[name].toLocaleString('en') })}
          </Button>
        ))}
      </div>
      {list === 'faults' && <FaultRows rows={page(check.faultRows)} />}
      {list === 'unusual' && <ResultRows rows={page(check.unusualRows)} />}
      {list === 'good' && <ResultRows rows={page(check.goodRows)} />}
      {total > ROWS_A_PAGE && (
        <div className="k-row">
          {from > 0 && <Button onPress={() => show(list, from - ROWS_A_PAGE)}>{t('list.previous')}</Button>}
          <span className="k-tabular">
            {t('list.shown', { from: from + 1, to: Math.min(from + ROWS_A_PAGE, total), total: total.toLocaleString('en') })}
          </span>
          {from + ROWS_A_PAGE < total && <Button onPress={() => show(list, from + ROWS_A_PAGE)}>{t('list.next')}</Button>}
        </div>
      )}
    </>
  )
}
