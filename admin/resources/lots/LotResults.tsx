import type { z } from 'zod'
import type { AssayView, LotPoisonView } from '#contract/lots'
import { formatDate, formatTime } from '../../format/dates'
import { formatPoison } from '../../format/numbers'
import { useStaffWords } from '../../i18n/words'
import { useMay } from '../../providers/useMay'
import { useWide } from '../../shell/useWide'
import { Card } from '../../ui/Card'
import { analyteName, methodWords, resultWords } from './lotWords'

export type AssayRow = z.output<typeof AssayView>
export type LotPoison = z.output<typeof LotPoisonView>

export const ResultFigure = ({ assay }: { assay: AssayRow }) => {
  const { t } = useStaffWords()
  const words = resultWords(assay, t)
  if (!assay.superseded) return <span className="k-strong k-tabular">{words}</span>
  return (
    <>
      <s className="k-struck k-tabular">{words}</s> <span className="k-caption">{t('lab.correctedMark')}</span>
    </>
  )
}

const CorrectLink = ({ assay }: { assay: AssayRow }) => {
  const { t } = useStaffWords()
  const may = useMay()
  if (assay.superseded || !may('create', 'assays')) return null
  return (
    <a className="k-button" href={`#/lots/${assay.lotId}/record?correct=${assay.id}`}>
      {t('lab.correct')}
    </a>
  )
}

const ResultsTable = ({ assays }: { assays: readonly AssayRow[] }) => {
  const { t, language } = useStaffWords()
  return (
    <table className="k-table">
      <thead>
        <tr>
          <th scope="col">{t('lab.analyte')}</th>
          <th scope="col" data-align="right">
            {t('lab.result')}
          </th>
          <th scope="col">{t('lab.day')}</th>
          <th scope="col">{t('lab.methodShort')}</th>
          <th scope="col">{t('lab.laboratory')}</th>
          <th scope="col">{t('lab.by')}</th>
          <th scope="col">
            <span className="k-hidden">{t('lab.correct')}</span>
          </th>
        </tr>
      </thead>
      <tbody>
        {assays.map((assay) => (
          <tr key={assay.id}>
            <td>{analyteName(assay.analyte, t)}</td>
            <td data-align="right">
              <ResultFigure assay={assay} />
            </td>
            <td>{formatDate(assay.measuredOn, language)}</td>
            <td>{methodWords(assay, t)}</td>
            <td>{assay.laboratory}</td>
            <td>
              {assay.recordedBy}, {formatDate(assay.recordedAt, language)} {formatTime(assay.recordedAt)}
              {assay.note && <p className="k-caption">{assay.note}</p>}
            </td>
            <td data-align="right">
              <CorrectLink assay={assay} />
            </td>
          </tr>
        ))}
      </tbody>
    </table>
  )
}

const ResultCards = ({ assays }: { assays: readonly AssayRow[] }) => {
  const { t, language } = useStaffWords()
  return (
    <ul className="k-quiet-list">
      {assays.map((assay) => (
        <li key={assay.id} className="k-list-row">
          <div className="k-list-main">
            <div>
              <span className="k-strong">{analyteName(assay.analyte, t)}</span>: <ResultFigure assay={assay} />
            </div>
            <div className="k-caption">
              {formatDate(assay.measuredOn, language)}, {methodWords(assay, t)}, {assay.laboratory}, {assay.recordedBy}
            </div>
            {assay.note && <div className="k-caption">{assay.note}</div>}
          </div>
          <CorrectLink assay={assay} />
        </li>
      ))}
    </ul>
  )
}

/** Said beside the results, not below them: a single test that shows nothing is easily taken for a clean lot. */
const NotProof = ({ assays }: { assays: readonly AssayRow[] }) => {
  const { t } = useStaffWords()
  const standing = assays.filter(({ superseded }) => !superseded)
  const single = standing.filter(
    ({ reading, quickTest, analyte }) =>
      quickTest !== null && reading === 'none-found' && standing.filter((other) => other.analyte === analyte).length === 1,
  )
  return single.map(({ id, analyte }) => (
    <p key={id}>
      {analyteName(analyte, t)}: {t('bench.notProof')}
    </p>
  ))
}

/** One clean strip is not a clean lot: what it may still hold stands under the results. */
const PoisonBound = ({ poison }: { poison: LotPoison }) => {
  const { t } = useStaffWords()
  const { analyte, upperBound, results } = poison
  return (
    <p>
      {t('lots.poisonBound', {
        item: analyteName(analyte, t),
        found: resultWords(poison, t),
        upper: formatPoison(upperBound),
        smart_count: results,
      })}
    </p>
  )
}

/** Every result that was ever recorded of a lot; a corrected one stays, struck out, and says that it does not count. */
export const LotResults = ({ assays, poisons }: { assays: readonly AssayRow[]; poisons: readonly LotPoison[] }) => {
  const { t } = useStaffWords()
  const wide = useWide()
  return (
    <Card title={t('lots.results')}>
      {assays.length === 0 && <p>{t('lots.noResults')}</p>}
      {assays.length > 0 && (wide ? <ResultsTable assays={assays} /> : <ResultCards assays={assays} />)}
      <NotProof assays={assays} />
      {poisons.map((poison) => (
        <PoisonBound key={poison.analyte} poison={poison} />
      ))}
    </Card>
  )
}
