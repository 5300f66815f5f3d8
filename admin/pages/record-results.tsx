import { useState, type FormEvent } from 'react'
import { useQueryClient } from '@tanstack/react-query'
import { useParams, useSearchParams } from 'react-router-dom'
import type { z } from 'zod'
import { ANALYTES, type RecordedAssaysView } from '#contract/laboratory'
import { formatTime } from '../format/dates'
import { useStaffWords } from '../i18n/words'
import { entryToCorrect } from '../outbox/outbox'
import {
  emptyRow,
  FIRST_ANALYTES,
  firstAnalytes,
  isAnalyteName,
  readSample,
  typedRows,
  type Sample,
  type SampleRow,
} from '../resources/assays/recordModel'
import { SampleFields } from '../resources/assays/SampleFields'
import type { AssayRow } from '../resources/lots/LotResults'
import { analyteName, resultWords, today } from '../resources/lots/lotWords'
import { UsedBatches } from '../resources/lots/UsedBatches'
import { useLot, type LotDetail } from '../resources/lots/useLot'
import { ingredientOf, useIngredientName } from '../resources/ingredients/names'
import { useAct } from '../shell/useAct'
import { usePageTitle } from '../shell/usePageTitle'
import { Button } from '../ui/Button'
import { Card } from '../ui/Card'
import { ErrorCount, FailureBar } from '../ui/Failure'
import { Field, SelectField } from '../ui/Field'
import { Readback } from '../ui/Readback'
import { Loading } from '../ui/Waiting'
import '../resources/lots/lots.css'

type Recorded = z.output<typeof RecordedAssaysView>

/** A correction has one row: the result it replaces, with its method. */
const firstRows = (corrected: AssayRow | undefined, { tests }: LotDetail): readonly SampleRow[] => {
  if (corrected && isAnalyteName(corrected.analyte))
    return [{ ...emptyRow(corrected.analyte), quickTest: corrected.quickTest, method: corrected.method, supersedesId: corrected.id }]
  return firstAnalytes(tests).map(emptyRow)
}

const useRecording = (lot: LotDetail, corrected: AssayRow | undefined, onRecorded: (answer: Recorded) => void) => {
  const { t } = useStaffWords()
  const cache = useQueryClient()
  const nameOf = useIngredientName()
  const act = useAct()
  const [wrong] = useState(entryToCorrect)
  const [tried, setTried] = useState(false)
  const [sample, setSample] = useState<Sample>(
    (wrong?.draft as Sample | undefined) ?? {
      laboratory: corrected?.laboratory ?? t('lab.ownLaboratory'),
      measuredOn: corrected?.measuredOn ?? today(),
      rows: firstRows(corrected, lot),
    },
  )
  // once it was tried, a fault goes away as soon as it is put right
  const reading = readSample(sample)
  const faults = tried && reading.kind === 'faults' ? reading.faults : {}
  const changeRow = (analyte: string, changes: Partial<SampleRow>) =>
    setSample((before) => ({ ...before, rows: before.rows.map((row) => (row.analyte === analyte ? { ...row, ...changes } : row)) }))
  const send = async () => {
    act.forget()
    setTried(true)
    if (reading.kind === 'faults') return
    const entry = {
      kind: 'results',
      facts: { number: String(lot.number), name: nameOf(ingredientOf(lot)) },
      page: `/lots/${lot.id}/record${corrected ? `?correct=${corrected.id}` : ''}`,
      draft: sample,
      replaces: wrong?.key,
    } as const
    const answer = await act.send<Recorded>({ method: 'POST', path: `/lots/${lot.id}/assays`, body: reading.body, entry })
    if (!answer) return
    await cache.invalidateQueries()
    onRecorded(answer)
  }
  const errorAt = (path: string): string | undefined => {
    const own = faults[path]
    return own ? t(own) : act.errorAt(path)
  }
  return { sample, setSample, changeRow, send, errorAt, act, faults }
}

type FormProps = { readonly lot: LotDetail; readonly corrected: AssayRow | undefined; readonly onRecorded: (answer: Recorded) => void }

const RecordForm = ({ lot, corrected, onRecorded }: FormProps) => {
  const { t } = useStaffWords()
  const { sample, setSample, changeRow, send, errorAt, act, faults } = useRecording(lot, corrected, onRecorded)
  const typed = typedRows(sample)
  // an untouched form is told at its first field
  const pathOf = (row: SampleRow): string => `results.${typed.length === 0 ? sample.rows.indexOf(row) : typed.indexOf(row)}`
  const isUnusual = (row: SampleRow): boolean =>
    row.confirmed || (act.problem?.fields.some(({ path, code }) => code === 'implausible' && path === `${pathOf(row)}.value`) ?? false)
  const wrong = [...Object.keys(faults), ...(act.problem?.fields.map(({ path }) => path) ?? [])]
  const idOf = (path: string): string => {
    const row = sample.rows.find((candidate) => path.startsWith(`${pathOf(candidate)}.`))
    return row ? `sample-${row.analyte}` : `sample-${path}`
  }
  const others = ANALYTES.filter((analyte) => sample.rows.every((row) => row.analyte !== analyte))
  const submit = (event: FormEvent) => {
    event.preventDefault()
    if (!act.busy) void send()
  }
  return (
    <form className="k-stack" onSubmit={submit} noValidate>
      <ErrorCount fieldIds={wrong.map(idOf)} />
      {act.problem && act.problem.fields.length === 0 && <FailureBar problem={act.problem} onTryAgain={send} />}
      {corrected && <p>{t('lab.correctWas', { value: `${analyteName(corrected.analyte, t)} ${resultWords(corrected, t)}` })}</p>}
      <div className="k-sample-fields k-stack">
        <Field
          id="sample-laboratory"
          label={t('lab.laboratory')}
          value={sample.laboratory}
          onChange={(laboratory) => setSample({ ...sample, laboratory })}
          error={errorAt('laboratory')}
        />
        <Field
          label={t('lab.measuredOn')}
          type="date"
          value={sample.measuredOn}
          onChange={(measuredOn) => setSample({ ...sample, measuredOn })}
          error={errorAt('results.0.measuredOn')}
        />
      </div>
      {sample.rows.map((row) => (
        <SampleFields
          key={row.analyte}
          row={row}
          unusual={isUnusual(row)}
          errors={{
            value: errorAt(`${pathOf(row)}.value`),
            method: errorAt(`${pathOf(row)}.method`),
            other: errorAt(`${pathOf(row)}.supersedesId`) ?? errorAt(`${pathOf(row)}.unit`),
          }}
          onChange={(changes) => changeRow(row.analyte, changes)}
          onRemove={
            corrected || FIRST_ANALYTES.includes(row.analyte)
              ? undefined
              : () => setSample({ ...sample, rows: sample.rows.filter((other) => other !== row) })
          }
        />
      ))}
      {!corrected && (
        <SelectField
          label={t('lab.another')}
          value=""
          choices={others.map((value) => ({ value, label: analyteName(value, t) }))}
          onChange={(value) => isAnalyteName(value) && setSample({ ...sample, rows: [...sample.rows, emptyRow(value)] })}
        />
      )}
      <div className="k-main-action">
        <Button submit wide kind="main" busy={act.busy}>
          {t('lab.save')}
        </Button>
      </div>
    </form>
  )
}

const Done = ({ lot, answer }: { lot: LotDetail; answer: Recorded }) => {
  const { t } = useStaffWords()
  const what = answer.assays.map((assay) => `${analyteName(assay.analyte, t)} ${resultWords(assay, t)}`).join(', ')
  return (
    <>
      <Readback
        what={t('lab.recorded', { what, number: lot.number })}
        time={formatTime(answer.assays[0]?.recordedAt ?? new Date().toISOString())}
      />
      {answer.used.length > 0 && (
        <Card title={t('used.lateTitle')}>
          <UsedBatches batches={answer.used} />
        </Card>
      )}
      <div className="k-actions">
        <a className="k-button" data-kind="main" href="#/to-test">
          {t('lab.nextSample')}
        </a>
        <a className="k-button" href={`#/lots/${lot.id}/show`}>
          {t('lab.toLot', { number: lot.number })}
        </a>
      </div>
    </>
  )
}

const RecordResults = () => {
  const { t } = useStaffWords()
  const { id = '' } = useParams()
  const [search] = useSearchParams()
  const { lot, name, problem, again } = useLot(id)
  const [recorded, setRecorded] = useState<Recorded>()
  const corrected = lot?.assays.find((assay) => assay.id === search.get('correct'))
  const title = lot ? t(corrected ? 'lab.correctTitle' : 'lab.recordTitle', { number: lot.number, name }) : t('lab.record')
  usePageTitle(title)
  return (
    <div className="k-page">
      <h1>{title}</h1>
      {problem && !lot && <FailureBar problem={problem} doing="load" onTryAgain={again} />}
      {!lot && !problem && <Loading rows={4} />}
      {lot && recorded && <Done lot={lot} answer={recorded} />}
      {lot && !recorded && (
        <Card>
          <RecordForm key={corrected?.id ?? ''} lot={lot} corrected={corrected} onRecorded={setRecorded} />
        </Card>
      )}
    </div>
  )
}

export default RecordResults
