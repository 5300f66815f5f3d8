import { useState, type FormEvent } from 'react'
import { useQueryClient } from '@tanstack/react-query'
import type { z } from 'zod'
import { ANALYTES, type RecordedSamplesView } from '#contract/laboratory'
import { QUICK_TESTS, QUICK_TEST_IDS } from '#core/laboratory/quick-tests'
import { formatTime } from '../format/dates'
import { useStaffWords } from '../i18n/words'
import { entryToCorrect } from '../outbox/outbox'
import { analyteOf, filled, readBatch, type BatchRow, type Bench } from '../resources/assays/batchModel'
import { isAnalyteName, saysYesOrNo, usualKitLimit } from '../resources/assays/recordModel'
import { ingredientOf, useIngredientName } from '../resources/ingredients/names'
import { analyteName, resultWords, today, unitOf } from '../resources/lots/lotWords'
import { UsedBatches } from '../resources/lots/UsedBatches'
import { asProblem, useAct } from '../shell/useAct'
import { usePageTitle } from '../shell/usePageTitle'
import { Button } from '../ui/Button'
import { Card } from '../ui/Card'
import { Tick } from '../ui/Choice'
import { FailureBar, FieldError } from '../ui/Failure'
import { Field, NumberField, SelectField } from '../ui/Field'
import { Readback } from '../ui/Readback'
import { Empty, Loading } from '../ui/Waiting'
import { useSamplesDue, type SampleDue } from './to-test'
import '../resources/lots/lots.css'

type Recorded = z.output<typeof RecordedSamplesView>
type Change = (changes: Partial<Bench>) => void
type ErrorAt = (path: string) => string | undefined

/** Which test, read where and when: said once for all samples. */
const Method = ({ bench, change, errorAt }: { bench: Bench; change: Change; errorAt: ErrorAt }) => {
  const { t } = useStaffWords()
  const { quickTest } = bench
  const choose = (value: string) => {
    const quick = QUICK_TEST_IDS.find((id) => id === value) ?? null
    const rows = bench.rows.map((row) => ({ ...row, value: '', confirmed: false }))
    change({ quickTest: quick, kitLimit: quick === null ? '' : usualKitLimit(quick), rows })
  }
  return (
    <div className="k-sample-fields k-stack">
      <SelectField
        label={t('bench.testedBy')}
        value={quickTest ?? 'other'}
        choices={[
          ...QUICK_TEST_IDS.map((value) => ({ value, label: t(`bench.quick.${value}`) })),
          { value: 'other', label: t('bench.another') },
        ]}
        onChange={choose}
        {...(quickTest === null ? {} : { hint: t(`bench.errs.${quickTest}`) })}
      />
      {quickTest === null && (
        <>
          <SelectField
            label={t('bench.analyte')}
            value={bench.analyte}
            choices={ANALYTES.map((value) => ({ value, label: analyteName(value, t) }))}
            onChange={(value) => isAnalyteName(value) && change({ analyte: value })}
          />
          <Field label={t('bench.method')} value={bench.method} onChange={(method) => change({ method })} error={errorAt('method')} />
        </>
      )}
      {quickTest !== null && QUICK_TESTS[quickTest].limitOfKit && (
        <NumberField
          label={t('bench.kitLimit')}
          hint={t('bench.kitLimitHint')}
          unit={unitOf(analyteOf(bench))}
          value={bench.kitLimit}
          onChange={(kitLimit) => change({ kitLimit })}
          error={errorAt('detectionLimit')}
        />
      )}
      <Field
        label={t('lab.laboratory')}
        value={bench.laboratory}
        onChange={(laboratory) => change({ laboratory })}
        error={errorAt('laboratory')}
      />
      <Field
        label={t('lab.measuredOn')}
        type="date"
        value={bench.measuredOn}
        onChange={(measuredOn) => change({ measuredOn })}
        error={errorAt('rows.0.measuredOn') ?? errorAt('measuredOn')}
      />
    </div>
  )
}

type RowProps = {
  readonly due: SampleDue
  readonly row: BatchRow
  readonly bench: Bench
  readonly error: string | undefined
  readonly unusual: boolean
  /** The mill looked at the whole sheet, and this row is right. */
  readonly good: boolean
  readonly onChange: (changes: Partial<BatchRow>) => void
}

const SampleLine = ({ due, row, bench, error, unusual, good, onChange }: RowProps) => {
  const { t } = useStaffWords()
  const nameOf = useIngredientName()
  const analyte = analyteOf(bench)
  const label = t('bench.sampleNamed', { sample: due.sample, number: due.lotNumber, name: nameOf(ingredientOf(due)) })
  return (
    <div className="k-sample" role="group" aria-label={label}>
      {saysYesOrNo(bench.quickTest) ? (
        <SelectField
          label={label}
          value={row.value}
          choices={[
            { value: '', label: t('bench.notDone') },
            { value: 'none-found', label: t('bench.none') },
            { value: 'found', label: t('bench.found') },
          ]}
          onChange={(value) => onChange({ value })}
          error={error}
        />
      ) : (
        <NumberField
          label={label}
          unit={unitOf(analyte)}
          value={row.value}
          onChange={(value) => onChange({ value, confirmed: false })}
          error={error}
        />
      )}
      {unusual && (
        <Tick
          label={t('bench.confirm', { sample: due.sample })}
          checked={row.confirmed}
          onChange={(confirmed) => onChange({ confirmed })}
        />
      )}
      {good && <p className="k-caption">{t('bench.fateGood')}</p>}
    </div>
  )
}

const Done = ({ answer, onMore }: { answer: Recorded; onMore: () => void }) => {
  const { t } = useStaffWords()
  const nameOf = useIngredientName()
  return (
    <>
      <Readback
        what={t('bench.done', { smart_count: answer.assays.length })}
        time={formatTime(answer.assays[0]?.recordedAt ?? new Date().toISOString())}
      />
      <ul>
        {answer.assays.map((assay) => (
          <li key={assay.id}>
            {t('lots.named', {
              number: assay.lotNumber,
              name: nameOf({ id: assay.ingredientId, nameEn: assay.ingredientNameEn, nameSw: assay.ingredientNameSw }),
            })}
            : {analyteName(assay.analyte, t)} {resultWords(assay, t)}
          </li>
        ))}
      </ul>
      {answer.used.map(({ lotId, lotNumber, batches }) => (
        <Card key={lotId} title={`${t('used.lateTitle')}: ${t('used.lot', { number: lotNumber })}`}>
          <UsedBatches batches={batches} />
        </Card>
      ))}
      <div className="k-actions">
        <Button kind="main" onPress={onMore}>
          {t('bench.more')}
        </Button>
        <a className="k-button" href="#/to-test">
          {t('lab.toTest')}
        </a>
      </div>
    </>
  )
}

const emptyBench = (samples: readonly SampleDue[], laboratory: string): Bench => ({
  quickTest: 'moisture-meter',
  analyte: 'CP',
  method: '',
  kitLimit: '',
  laboratory,
  measuredOn: today(),
  rows: samples.map(({ lotId }) => ({ lotId, value: '', confirmed: false })),
})

/** What was typed and refused, over the samples that wait now. */
const benchAgain = (typed: Bench, empty: Bench): Bench => ({
  ...typed,
  rows: empty.rows.map((row) => typed.rows.find(({ lotId }) => lotId === row.lotId) ?? row),
})

const BenchForm = ({ samples, onRecorded }: { samples: readonly SampleDue[]; onRecorded: (answer: Recorded) => void }) => {
  const { t } = useStaffWords()
  const cache = useQueryClient()
  const act = useAct()
  const [tried, setTried] = useState(false)
  const [wrong] = useState(entryToCorrect)
  const [bench, setBench] = useState(() => {
    const empty = emptyBench(samples, t('lab.ownLaboratory'))
    return wrong ? benchAgain(wrong.draft as Bench, empty) : empty
  })
  const reading = readBatch(bench)
  const faults = tried && reading.kind === 'faults' ? reading.faults : {}
  const rows = filled(bench)
  const change: Change = (changes) => {
    act.forget()
    setBench({ ...bench, ...changes })
  }
  const changeRow = (lotId: string, changes: Partial<BatchRow>) =>
    setBench({ ...bench, rows: bench.rows.map((row) => (row.lotId === lotId ? { ...row, ...changes } : row)) })
  const errorAt: ErrorAt = (path) => {
    const own = faults[path]
    return own ? t(own) : act.errorAt(path)
  }
  const save = async (event: FormEvent) => {
    event.preventDefault()
    if (act.busy) return
    act.forget()
    setTried(true)
    if (reading.kind === 'faults') return
    const facts = { smart_count: String(rows.length) }
    const entry = { kind: 'samples', facts, page: '/record-samples', draft: bench, replaces: wrong?.key } as const
    const answer = await act.send<Recorded>({ method: 'POST', path: '/samples', body: reading.body, entry })
    if (!answer) return
    await cache.invalidateQueries()
    onRecorded(answer)
  }
  const refused = act.problem !== undefined && act.problem.fields.length > 0
  return (
    <form className="k-stack" onSubmit={(event) => void save(event)} noValidate>
      {act.problem && !refused && <FailureBar problem={act.problem} />}
      {refused && <p className="k-strong">{t('bench.refused')}</p>}
      <Method bench={bench} change={change} errorAt={errorAt} />
      <h2>{t('bench.samples')}</h2>
      <p className="k-caption">{t('bench.emptyRows')}</p>
      {errorAt('rows') && <FieldError id="rows-error">{errorAt('rows')}</FieldError>}
      {samples.map((due) => {
        const row = bench.rows.find(({ lotId }) => lotId === due.lotId)
        if (row === undefined) return null
        const at = `rows.${rows.indexOf(row)}`
        const fields = act.problem?.fields.filter(({ path }) => path.startsWith(`${at}.`)) ?? []
        return (
          <SampleLine
            key={due.lotId}
            due={due}
            row={row}
            bench={bench}
            error={errorAt(`${at}.value`) ?? errorAt(`${at}.reading`) ?? errorAt(`${at}.lotId`)}
            unusual={row.confirmed || fields.some(({ code }) => code === 'implausible')}
            good={refused && rows.includes(row) && fields.length === 0}
            onChange={(changes) => changeRow(due.lotId, changes)}
          />
        )
      })}
      <div className="k-main-action">
        <Button submit wide kind="main" busy={act.busy}>
          {rows.length === 0 ? t('lots.recordResults') : t('bench.save', { smart_count: rows.length })}
        </Button>
      </div>
    </form>
  )
}

/** One method over the samples that wait: what a bench does before it cleans up. */
const RecordSamples = () => {
  const { t } = useStaffWords()
  usePageTitle(t('bench.batchTitle'))
  const { data, error, isPending, refetch } = useSamplesDue()
  const [recorded, setRecorded] = useState<Recorded>()
  return (
    <div className="k-page">
      <h1>{t('bench.batchTitle')}</h1>
      <p>{t('bench.batchIntro')}</p>
      {error && <FailureBar problem={asProblem(error)} doing="load" onTryAgain={() => void refetch()} />}
      {isPending && <Loading rows={4} />}
      {recorded && <Done answer={recorded} onMore={() => setRecorded(undefined)} />}
      {!recorded && data?.samples.length === 0 && <Empty>{t('bench.noSamples')}</Empty>}
      {!recorded && data && data.samples.length > 0 && <BenchForm samples={data.samples} onRecorded={setRecorded} />}
    </div>
  )
}

export default RecordSamples
