import { lazy, Suspense } from 'react'
import type { BatchSheetView } from '#contract/production'
import { formatPhone } from '../format/phones'
import { Picture } from '../resources/batches/batchParts'
import { WovenStrip } from '../ui/Mark'
import { Pictogram } from '../ui/Shape'
import './sheet-paper.css'

/** The drawing of codes is larger than the rest of the page: the sheet stands before it has come. */
const QrCode = lazy(() => import('../ui/QrCode'))

type SheetProps = { readonly sheet: BatchSheetView }
const word = ({ columns }: BatchSheetView, key: string): string => columns[key] ?? ''
const Blank = () => <span className="k-sheet-blank" />
const Tick = () => <span className="k-sheet-tick" />

const Head = ({ sheet }: SheetProps) => (
  <header>
    <WovenStrip />
    <div className="k-sheet-top">
      <div>
        <p className="k-sheet-title">
          {sheet.title} <span className="k-sheet-number">{word(sheet, 'load')}</span>
        </p>
        <p>
          {sheet.mill}. {sheet.printedAt}, {sheet.printedBy}
        </p>
      </div>
      <Suspense fallback={<p className="k-strong">{sheet.qr}</p>}>
        <QrCode text={sheet.qr} label={sheet.qr} />
      </Suspense>
    </div>
    <div className="k-sheet-feed">
      <Picture name={sheet.birdPictogram} size={44} />
      <div>
        <p className="k-sheet-name">{sheet.feedName}</p>
        <p>{sheet.stage}</p>
      </div>
      <p className="k-sheet-kg">{sheet.loadKg}</p>
      <p className="k-sheet-mixer">{sheet.mixerName}</p>
    </div>
    <p className={sheet.medicine.medicated ? 'k-sheet-medicine' : 'k-sheet-plain'}>
      {sheet.medicine.medicated && <Pictogram name="pill" size={22} />} {sheet.medicine.text}
    </p>
    <p className="k-sheet-line">
      <b>{word(sheet, 'before')}:</b> <Pictogram name="broom" size={20} />
      {sheet.before.map((text) => (
        <span key={text} className="k-sheet-item">
          {text} <Tick />
        </span>
      ))}
    </p>
  </header>
)

const Rows = ({ sheet }: SheetProps) => (
  <table className="k-sheet-rows">
    <thead>
      <tr>
        <th scope="col">{word(sheet, 'position')}</th>
        <th scope="col" colSpan={2}>
          {word(sheet, 'name')}
        </th>
        <th scope="col">{word(sheet, 'lot')}</th>
        <th scope="col">{word(sheet, 'bags')}</th>
        <th scope="col">{word(sheet, 'kg')}</th>
        <th scope="col">{word(sheet, 'running')}</th>
        <th scope="col">{word(sheet, 'weighed')}</th>
        <th scope="col">{word(sheet, 'tick')}</th>
      </tr>
    </thead>
    <tbody>
      {sheet.rows.map((row) => (
        <tr key={row.position}>
          <td>{row.position}</td>
          <td>
            <Picture name={row.pictogram} size={30} />
          </td>
          <td className="k-sheet-what">{row.name}</td>
          <td>{row.lotNumber !== '' && <span className="k-sheet-lot">{row.lotNumber}</span>}</td>
          <td>
            {row.bags > 0 && (
              <span className="k-sheet-sacks" role="img" aria-label={String(row.bags)}>
                {Array.from({ length: row.bags }, (_, sack) => (
                  <Tick key={sack} />
                ))}
              </span>
            )}
            {row.bagsOf !== '' && <span className="k-sheet-bags">{row.bagsOf}</span>}{' '}
            {row.bags > 0 ? <b className="k-sheet-rest">{row.loose}</b> : row.loose}
          </td>
          <td className="k-sheet-figure">
            {row.kg}
            <span>{row.allowed}</span>
          </td>
          <td className="k-sheet-running">{row.running}</td>
          <td>
            <Blank />
          </td>
          <td>
            <Tick />
          </td>
        </tr>
      ))}
    </tbody>
  </table>
)

const PreBlend = ({ preBlend }: { preBlend: NonNullable<BatchSheetView['preBlend']> }) => (
  <section className="k-sheet-box">
    <p className="k-sheet-box-title">
      <Pictogram name="table-scale" size={22} /> {preBlend.title} <b>= {preBlend.totalGrams}</b>
    </p>
    <ul className="k-sheet-cells">
      {preBlend.rows.map((row) => (
        <li key={`${row.lotNumber} ${row.name}`}>
          <span className="k-sheet-cell-name">
            {row.lotNumber !== '' && <span className="k-sheet-lot">{row.lotNumber}</span>} {row.name}
          </span>
          <span className="k-sheet-figure">
            {row.grams}
            <span>{row.allowed}</span>
          </span>
          <span className="k-sheet-item">
            <Blank /> <Tick />
          </span>
        </li>
      ))}
    </ul>
  </section>
)

const Tail = ({ sheet }: SheetProps) => {
  const [mix = '', start = '', end = ''] = sheet.mixing
  return (
    <footer>
      <p className="k-sheet-line">
        <Pictogram name="clock" size={22} /> <b>{mix}</b> {start} <Blank /> {end} <Blank /> <Pictogram name="sealed-bag" size={22} />
        <b>{sheet.bags}</b> {word(sheet, 'tally')} <Blank />
      </p>
      <p className="k-sheet-line">
        {word(sheet, 'keptSample')} <Tick /> {word(sheet, 'place')} <Blank />
        {sheet.signatures.map((text) => (
          <span key={text} className="k-sheet-item">
            {text} <Blank />
          </span>
        ))}
      </p>
      {sheet.cautions.map((caution, index) => (
        <p key={caution} className="k-sheet-line">
          {index === 0 && <Pictogram name="mask-and-gloves" size={22} />} {caution}
        </p>
      ))}
      <p className="k-sheet-line">
        <b>{sheet.powerCut}</b> <Pictogram name="phone" size={20} /> {word(sheet, 'call')} <b>{formatPhone(sheet.phone)}</b>
      </p>
    </footer>
  )
}

/** One row, one thing, one scale, left to right, tick last. Everything on it comes from the mill's model, already in its language. */
export const SheetPaper = ({ sheet }: SheetProps) => (
  <div className="k-sheet-scroll" tabIndex={0} role="region" aria-label={`${sheet.title} ${sheet.batchNumber}`}>
    <article className="k-sheet" lang={sheet.language}>
      <Head sheet={sheet} />
      <Rows sheet={sheet} />
      {sheet.preBlend && <PreBlend preBlend={sheet.preBlend} />}
      <Tail sheet={sheet} />
    </article>
  </div>
)
