import { useQuery } from '@tanstack/react-query'
import { lazy, Suspense, type CSSProperties } from 'react'
import { useDataProvider } from 'react-admin'
import { useParams } from 'react-router-dom'
import type { BlankPaperView } from '#contract/sheets'
import { useStaffWords } from '../i18n/words'
import type { MillDataProvider } from '../providers/dataProvider'
import { asProblem } from '../shell/useAct'
import { FailureBar } from '../ui/Failure'
import { WovenStrip } from '../ui/Mark'
import { Pictogram } from '../ui/Shape'
import { Empty, Loading } from '../ui/Waiting'
import { PaperPage, usePaperLanguage } from './paper-page'
import './sheet-paper.css'
import './sheet-bundle.css'

const QrCode = lazy(() => import('../ui/QrCode'))

const Boxes = ({ boxes }: { boxes: BlankPaperView['boxes'] }) => (
  <div className="k-blank-boxes">
    {boxes.map(({ label, columns, unit, hint }) => (
      <div key={label} style={{ gridColumn: `span ${columns}` } satisfies CSSProperties}>
        <span>{label}</span>
        {unit !== '' && <b>{unit}</b>}
        {hint !== '' && <small>{hint}</small>}
      </div>
    ))}
  </div>
)

const Table = ({ table: { title, columns, rows } }: { table: BlankPaperView['tables'][number] }) => (
  <table className="k-blank-table" style={{ '--rows': rows } as CSSProperties}>
    <caption>{title}</caption>
    <thead>
      <tr>
        {columns.map(({ label, share }) => (
          <th key={label} scope="col" style={{ width: `${share}%` }}>
            {label}
          </th>
        ))}
      </tr>
    </thead>
    <tbody>
      {Array.from({ length: rows }, (_, row) => (
        <tr key={row}>
          {columns.map(({ label, unit }) => (
            <td key={label}>{label === '#' ? row + 1 : <b>{unit}</b>}</td>
          ))}
        </tr>
      ))}
    </tbody>
  </table>
)

/** Two cells a figure, so that what is read later need not be guessed: day / month, hour : minute. */
const When = ({ when }: { when: string }) => (
  <>
    <p className="k-sheet-plain">{when}</p>
    <p className="k-blank-when" aria-hidden="true">
      <i />
      <i />/<i />
      <i />
      <Pictogram name="clock" size={28} />
      <i />
      <i />:<i />
      <i />
    </p>
  </>
)

const Sheet = ({ paper, sheet }: { paper: BlankPaperView; sheet: BlankPaperView['sheets'][number] }) => (
  <article className="k-sheet k-blank-page" lang={paper.language}>
    <WovenStrip />
    <div className="k-sheet-top">
      <div>
        <p className="k-sheet-title">{paper.title}</p>
        <p className="k-blank-code">{sheet.code}</p>
        <p>
          {paper.mill}. {paper.printed}
        </p>
        <p className="k-sheet-plain">{paper.use}</p>
      </div>
      <Suspense fallback={null}>
        <QrCode text={sheet.qr} label={sheet.qr} />
      </Suspense>
    </div>
    <When when={paper.when} />
    <Boxes boxes={paper.boxes} />
    {paper.ticks && (
      <>
        <p className="k-sheet-plain">{paper.ticks.title}</p>
        <ul className="k-blank-ticks">
          {paper.ticks.points.map((point) => (
            <li key={point}>
              <span className="k-sheet-tick" /> {point}
            </li>
          ))}
        </ul>
      </>
    )}
    {paper.tables.length > 0 && (
      <div className="k-blank-tables">
        {paper.tables.map((table) => (
          <Table key={table.title} table={table} />
        ))}
      </div>
    )}
    {paper.after.length > 0 && <Boxes boxes={paper.after} />}
    <p className="k-blank-signs">
      {paper.signatures.map((who) => (
        <span key={who}>{who}</span>
      ))}
    </p>
    <p className="k-blank-foot k-sheet-plain">
      <Pictogram name="mask-and-gloves" size={28} /> <span>{paper.cautions.join('. ')}.</span>
    </p>
    <p className="k-blank-foot">
      <span className="k-sheet-tick" /> {paper.entered} <span className="k-blank-line" />
    </p>
  </article>
)

const useTitle = (paper: BlankPaperView | undefined): string => {
  const { t } = useStaffWords()
  const [first, last] = [paper?.sheets[0]?.code, paper?.sheets.at(-1)?.code]
  if (first === undefined || last === undefined) return t('blankSheet.title')
  return first === last ? t('blankSheet.paperOne', { first }) : t('blankSheet.paperTitle', { first, last })
}

/** The blank sheets of one bundle as paper on the screen: the same model that the PDF prints. */
const SheetBundle = () => {
  const { t } = useStaffWords()
  const { id = '' } = useParams()
  const mill = useDataProvider<MillDataProvider>()
  const { chosen, choose, query } = usePaperLanguage()
  const { data, error, refetch } = useQuery({
    queryKey: ['sheet-bundles', id, chosen ?? 'mill'],
    queryFn: () => mill.act<BlankPaperView>('GET', `/sheet-bundles/${id}${query}`),
  })
  const title = useTitle(data)
  const problem = error ? asProblem(error) : undefined
  return (
    <PaperPage
      title={title}
      language={data?.language}
      onLanguage={choose}
      pdf={`/sheet-bundles/${id}/sheets.pdf${query}`}
      back={{ href: '#/blank-sheets', label: t('blankSheet.all') }}
    >
      {problem?.code === 'not-found' && <Empty>{t('blankSheet.paperNone')}</Empty>}
      {problem && problem.code !== 'not-found' && <FailureBar problem={problem} doing="load" onTryAgain={() => void refetch()} />}
      {!data && !error && <Loading rows={6} />}
      {data && (
        <div className="k-sheet-scroll" tabIndex={0} role="region" aria-label={title}>
          {data.sheets.map((sheet) => (
            <Sheet key={sheet.code} paper={data} sheet={sheet} />
          ))}
        </div>
      )}
    </PaperPage>
  )
}

export default SheetBundle
