import { useState, type FormEvent } from 'react'
import { useNavigate, useParams } from 'react-router-dom'
import { formatKg, parseKg, sumGrams, type Grams } from '#core/quantity/mass'
import { formatKg as shownKg } from '../../format/numbers'
import { useStaffWords } from '../../i18n/words'
import { FromSheetLine, useFromSheet } from '../sheets/useFromSheet'
import { asProblem, useAct } from '../../shell/useAct'
import { usePageTitle } from '../../shell/usePageTitle'
import { Button } from '../../ui/Button'
import { Card } from '../../ui/Card'
import { CheckShape } from '../../ui/CheckShape'
import { ErrorCount, FailureBar, FieldError } from '../../ui/Failure'
import { NumberField } from '../../ui/Field'
import { Loading } from '../../ui/Waiting'
import { BatchHead } from './BatchHead'
import { FinishedTold } from './BatchShow'
import { MadeField } from './FinishLoad'
import { judgeWeight, lineKey, lineName, readWeight, scaleFigure, scaleUnit, type BatchDetail, type BatchLine } from './batchModel'
import { useBatch } from './useBatch'

type Typed = Readonly<Record<string, string>>

/** Rows weighed on the screen stand as they are; every other has to be typed from the paper. */
const typedAlready = (batch: BatchDetail): Typed =>
  Object.fromEntries(
    batch.lines.flatMap((line) =>
      line.actualKg === null ? [] : [[lineKey(line), scaleFigure(parseKg(line.actualKg), line.scale).replaceAll(',', '')]],
    ),
  )

const massOf = (line: BatchLine, typed: Typed): Grams | null => {
  const read = readWeight(typed[lineKey(line)] ?? '', line.scale)
  return read.kind === 'weight' ? read.mass : null
}

type RowProps = {
  readonly line: BatchLine
  readonly number: number
  readonly typed: string
  readonly error: string | undefined
  readonly onChange: (typed: string) => void
}

const PaperRow = ({ line, number, typed, error, onChange }: RowProps) => {
  const { t, language } = useStaffWords()
  const read = readWeight(typed, line.scale)
  const facts = {
    low: scaleFigure(parseKg(line.allowedLowKg), line.scale),
    high: scaleFigure(parseKg(line.allowedHighKg), line.scale),
    unit: t(`load.unit.${line.scale}`),
  }
  const judged = read.kind === 'weight' ? judgeWeight(line, read.mass) : { kind: 'inside' as const }
  const label =
    line.lotNumber === null
      ? t('load.paperPage.rowLabelPreBlend', { number })
      : t('load.paperPage.rowLabel', { name: lineName(line, language), lot: line.lotNumber })
  return (
    <div>
      <NumberField
        id={lineKey(line)}
        label={`${line.position}. ${label}`}
        hint={t('load.paperPage.allowed', facts)}
        value={typed}
        onChange={onChange}
        unit={scaleUnit(line.scale)}
        error={error}
        places={line.scale === 'table' ? 0 : 3}
      />
      {judged.kind !== 'inside' && (
        <p className="k-verdict-line" role="status">
          <CheckShape verdict="warn" size={20} />
          <span>
            {t('load.paperPage.outside', facts)} {judged.otherUnit && t('field.checkUnit')}
          </span>
        </p>
      )}
    </div>
  )
}

const Form = ({ batch, onDone }: { batch: BatchDetail; onDone: (batch: BatchDetail) => void }) => {
  const { t } = useStaffWords()
  const from = useFromSheet()
  const { send, busy, problem, errorAt } = useAct()
  const [typed, setTyped] = useState<Typed>(() => typedAlready(batch))
  const [made, setMade] = useState('')
  const [asked, setAsked] = useState(false)
  // in the order of the paper: the load, then the box of the pre-blend
  const rows = [...batch.lines].sort((x, y) => x.part.localeCompare(y.part) || x.position - y.position)
  const madeRead = readWeight(made, 'floor')
  const weighed = sumGrams(rows.flatMap((line) => (line.lotId === null ? [] : [massOf(line, typed) ?? parseKg('0.000')])))
  const empty = rows.filter((line) => massOf(line, typed) === null)
  const faultOf = (line: BatchLine): string | undefined => {
    const read = readWeight(typed[lineKey(line)] ?? '', line.scale)
    return asked && read.kind === 'fault' ? t(read.words) : undefined
  }
  const madeFault = asked
    ? madeRead.kind === 'fault'
      ? t(madeRead.words)
      : madeRead.mass === 0
        ? t('field.above0')
        : undefined
    : undefined
  const wrong = [...empty.map(lineKey), ...(madeFault ? ['madeKg'] : [])]
  const finish = async (event: FormEvent) => {
    event.preventDefault()
    setAsked(true)
    if (busy || empty.length > 0 || madeRead.kind === 'fault' || madeRead.mass === 0) return
    const weights = rows.flatMap((line) => {
      const mass = massOf(line, typed)
      return mass === null ? [] : [{ part: line.part, position: line.position, actualKg: formatKg(mass) }]
    })
    const when = from ? { finishedAt: from.at, sheet: from.sheet } : {}
    const body = { weights, madeKg: formatKg(madeRead.mass), ...when }
    const done = await send<BatchDetail>({ method: 'POST', path: `/batches/${batch.id}/finish`, body, revision: batch.revision })
    if (done) onDone(done)
  }
  const part = (name: BatchLine['part']) =>
    rows
      .filter((line) => line.part === name)
      .map((line) => (
        <PaperRow
          key={lineKey(line)}
          line={line}
          number={batch.number}
          typed={typed[lineKey(line)] ?? ''}
          error={faultOf(line)}
          onChange={(text) => setTyped({ ...typed, [lineKey(line)]: text })}
        />
      ))
  return (
    <form className="k-stack" onSubmit={(event) => void finish(event)} noValidate>
      <ErrorCount fieldIds={asked ? wrong : []} />
      {batch.startedAt === null && (
        <div className="k-refusal k-warn">
          <p className="k-refusal-reason k-verdict-line">
            <CheckShape verdict="warn" /> <span>{t('load.paperPage.notStarted')}</span>
          </p>
        </div>
      )}
      {from && <FromSheetLine from={from} />}
      <p>{t('load.paperPage.hint')}</p>
      <div className="k-columns">
        <Card title={t('load.row.ofLoad')}>{part('load')}</Card>
        {batch.lines.some((line) => line.part === 'pre-blend') && <Card title={t('load.row.ofPreBlend')}>{part('pre-blend')}</Card>}
      </div>
      <Card title={t('load.finish.title', { number: batch.number })}>
        <p className="k-tabular" role="status">
          {t('load.paperPage.total', { kg: shownKg(formatKg(weighed)), smart_count: empty.length })}
        </p>
        <MadeField batch={batch} typed={made} onChange={setMade} error={madeFault ?? errorAt('madeKg')} weighed={weighed} />
        {[errorAt('sheet'), errorAt('finishedAt')].map(
          (error) =>
            error && (
              <FieldError key={error} id="sheet-error">
                {error}
              </FieldError>
            ),
        )}
        {problem && <FailureBar problem={problem} />}
        <Button submit kind="main" wide busy={busy}>
          {t('load.paperPage.button')}
        </Button>
      </Card>
    </form>
  )
}

/** A whole paper sheet at once: every row is typed as it stands on the paper, none is filled in. */
const PaperSheet = () => {
  const { t } = useStaffWords()
  const { id = '' } = useParams()
  const navigate = useNavigate()
  const from = useFromSheet()
  const { batch, error } = useBatch(id)
  const [done, setDone] = useState<BatchDetail>()
  usePageTitle(batch ? t('load.paperPage.title', { number: batch.number }) : t('nav.batches'))
  if (error) return <FailureBar problem={asProblem(error)} doing="load" />
  if (!batch) return <Loading rows={5} />
  return (
    <div className="k-page">
      <h1>{t('load.paperPage.title', { number: batch.number })}</h1>
      {done || batch.finishedAt !== null ? (
        <>
          <BatchHead batch={done ?? batch} />
          <FinishedTold batch={done ?? batch} />
          <div className="k-actions">
            <Button onPress={() => void navigate(`/batches/${id}/show`)}>{t('load.sheetPage.toLoad')}</Button>
            {from && (
              <a className="k-button" href="#/enter-sheet">
                {t('blankSheet.another')}
              </a>
            )}
          </div>
        </>
      ) : (
        <Form batch={batch} onDone={setDone} />
      )}
    </div>
  )
}

export default PaperSheet
