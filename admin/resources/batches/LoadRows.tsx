import { formatTime } from '../../format/dates'
import { useStaffWords } from '../../i18n/words'
import { useWide } from '../../shell/useWide'
import { Button } from '../../ui/Button'
import { CheckShape } from '../../ui/CheckShape'
import { Picture } from './batchParts'
import { kgOnScale, lineKey, lineName, scaleFigure, scaleUnit, type BatchDetail, type BatchLine } from './batchModel'
import { parseKg } from '#core/quantity/mass'

type RowsProps = {
  readonly batch: BatchDetail
  readonly part: BatchLine['part']
  /** Rows can be weighed or corrected from here. */
  readonly onWeigh?: ((line: BatchLine) => void) | undefined
  readonly current?: string | undefined
}

const Allowed = ({ line }: { line: BatchLine }) => (
  <span className="k-tabular k-range">
    {scaleFigure(parseKg(line.allowedLowKg), line.scale)}
    {'\u00a0\u2013\u00a0'}
    {scaleFigure(parseKg(line.allowedHighKg), line.scale)} {scaleUnit(line.scale)}
  </span>
)

/** What was weighed, by whom and when; outside its range with shape and word; earlier figures struck out but there. */
const Weighed = ({ line }: { line: BatchLine }) => {
  const { t } = useStaffWords()
  if (line.actualKg === null) return <span className="k-caption">{t('load.row.notYet')}</span>
  return (
    <span>
      <b className="k-tabular">{kgOnScale(line.actualKg, line.scale)}</b>{' '}
      {line.outside && (
        <span className="k-outside">
          <CheckShape verdict="warn" size={20} /> {t('load.row.outside')}
        </span>
      )}{' '}
      {line.weighedAt && line.weighedBy && (
        <span className="k-caption">{t('load.row.by', { who: line.weighedBy, time: formatTime(line.weighedAt) })}</span>
      )}{' '}
      {line.earlierKg.length > 0 && (
        <span className="k-caption">
          {t('load.row.earlier', { figures: line.earlierKg.map((kg) => kgOnScale(kg, line.scale)).join(', ') })}
        </span>
      )}
    </span>
  )
}

const Name = ({ line }: { line: BatchLine }) => {
  const { t, language } = useStaffWords()
  return (
    <span className="k-line">
      <Picture name={line.pictogram} />
      <span>{line.lotNumber === null ? t('load.row.fromPreBlend') : lineName(line, language)}</span>
    </span>
  )
}

const Act = ({ line, onWeigh }: { line: BatchLine; onWeigh: (line: BatchLine) => void }) => {
  const { t, language } = useStaffWords()
  const words = t(line.actualKg === null ? 'load.row.weigh' : 'action.correct')
  return (
    <Button label={`${words}: ${lineName(line, language)}`} onPress={() => onWeigh(line)}>
      {words}
    </Button>
  )
}

const Table = ({ lines, onWeigh, current }: { lines: readonly BatchLine[] } & Pick<RowsProps, 'onWeigh' | 'current'>) => {
  const { t } = useStaffWords()
  return (
    <table className="k-table k-list-table">
      <thead>
        <tr>
          <th scope="col">#</th>
          <th scope="col">{t('load.row.what')}</th>
          <th scope="col">{t('load.row.lot')}</th>
          <th scope="col" data-align="right">
            {t('load.row.target')}
          </th>
          <th scope="col" data-align="right">
            {t('load.row.allowed')}
          </th>
          <th scope="col">{t('load.row.weighed')}</th>
          {onWeigh && (
            <th scope="col">
              <span className="k-hidden">{t('load.row.weigh')}</span>
            </th>
          )}
        </tr>
      </thead>
      <tbody>
        {lines.map((line) => (
          <tr key={lineKey(line)} aria-current={lineKey(line) === current ? 'step' : undefined}>
            <td>{line.position}</td>
            <td>
              <Name line={line} />
            </td>
            <td>{line.lotNumber !== null && line.lotId !== null && <a href={`#/lots/${line.lotId}/show`}>{line.lotNumber}</a>}</td>
            <td data-align="right">{kgOnScale(line.targetKg, line.scale)}</td>
            <td data-align="right">
              <Allowed line={line} />
            </td>
            <td>
              <Weighed line={line} />
            </td>
            {onWeigh && (
              <td data-align="right">
                <Act line={line} onWeigh={onWeigh} />
              </td>
            )}
          </tr>
        ))}
      </tbody>
    </table>
  )
}

const Cards = ({ lines, onWeigh, current }: { lines: readonly BatchLine[] } & Pick<RowsProps, 'onWeigh' | 'current'>) => {
  const { t } = useStaffWords()
  return (
    <ol className="k-quiet-list k-rows-cards">
      {lines.map((line) => (
        <li key={lineKey(line)} aria-current={lineKey(line) === current ? 'step' : undefined}>
          <div className="k-line k-strong">
            <span className="k-range">{line.position}.</span> <Name line={line} />
          </div>
          <div className="k-list-main">
            {line.lotNumber !== null && <div>{t('load.row.lotNumber', { number: line.lotNumber })}</div>}
            <div className="k-tabular">
              <b>{kgOnScale(line.targetKg, line.scale)}</b>
              <br />
              <Allowed line={line} />
            </div>
            <div>
              <Weighed line={line} />
            </div>
          </div>
          {onWeigh && <Act line={line} onWeigh={onWeigh} />}
        </li>
      ))}
    </ol>
  )
}

/** The rows of one part of the sheet: a table on a desktop, cards on a phone. */
export const LoadRows = ({ batch, part, onWeigh, current }: RowsProps) => {
  const wide = useWide()
  const lines = batch.lines.filter((line) => line.part === part).sort((a, b) => a.position - b.position)
  const Rows = wide ? Table : Cards
  return <Rows lines={lines} onWeigh={onWeigh} current={current} />
}
