import { useEffect, useRef, useState, type ChangeEvent } from 'react'
import { COLUMNS } from '#core/laboratory/columns'
import { formatTime } from '../format/dates'
import { useStaffWords } from '../i18n/words'
import type { Problem } from '../providers/http'
import { templateOf, type FileFault } from '../resources/assays/importFile'
import { ImportRows } from '../resources/assays/ImportRows'
import { importFaultWords } from '../resources/assays/importWords'
import { useImport, type Doing, type Import } from '../resources/assays/useImport'
import { useFaultWords } from '../shell/useFaultWords'
import { usePageTitle } from '../shell/usePageTitle'
import { Button } from '../ui/Button'
import { Card } from '../ui/Card'
import { CheckShape } from '../ui/CheckShape'
import { Tick } from '../ui/Choice'
import { FailureBar, FieldError } from '../ui/Failure'
import { Readback } from '../ui/Readback'
import { Working } from '../ui/Waiting'
import '../resources/lots/lots.css'

const count = (figure: number): string => figure.toLocaleString('en')

/** An address for the empty form, given back when the page is left. */
const useTemplate = (headings: readonly string[]): string => {
  const [address, setAddress] = useState('')
  const text = templateOf(headings)
  useEffect(() => {
    const made = URL.createObjectURL(new Blob([text], { type: 'text/csv;charset=utf-8' }))
    setAddress(made)
    return () => URL.revokeObjectURL(made)
  }, [text])
  return address
}

const Columns = () => {
  const { t } = useStaffWords()
  const template = useTemplate(COLUMNS.map((column) => t(`assayImport.columns.${column}`)))
  return (
    <Card title={t('assayImport.columnsTitle')}>
      <p>{t('assayImport.columnsIntro')}</p>
      <dl className="k-facts">
        {COLUMNS.map((column) => (
          <div key={column} style={{ display: 'contents' }}>
            <dt>{t(`assayImport.columns.${column}`)}</dt>
            <dd>{t(`assayImport.holds.${column}`)}</dd>
          </div>
        ))}
      </dl>
      <div className="k-row">
        <a className="k-button" href={template} download={t('assayImport.templateName')}>
          {t('assayImport.template')}
        </a>
      </div>
    </Card>
  )
}

/** The browser's own field speaks the browser's language; a button of ours opens it. */
const ChooseFile = ({ run, fault }: { run: Import; fault: string | undefined }) => {
  const { t } = useStaffWords()
  const field = useRef<HTMLInputElement>(null)
  const choose = (event: ChangeEvent<HTMLInputElement>): void => {
    const [file] = event.target.files ?? []
    if (file) void run.choose(file)
    // the same file, put right, can be chosen again
    event.target.value = ''
  }
  return (
    <div className="k-field" role="group" aria-labelledby="import-file-label" aria-describedby="import-file-hint">
      <p className="k-strong" id="import-file-label">
        {t('assayImport.choose')}
        {run.chosen && `: ${run.chosen.name}`}
      </p>
      <p className="k-caption" id="import-file-hint">
        {t('assayImport.chooseHint')}
      </p>
      <input
        ref={field}
        id="import-file"
        hidden
        type="file"
        accept=".csv,.tsv,.txt,text/csv,text/tab-separated-values,text/plain"
        onChange={choose}
      />
      {!run.doing && (
        <div className="k-row">
          <Button kind={run.check ? 'plain' : 'main'} onPress={() => field.current?.click()}>
            {t(run.chosen ? 'assayImport.chooseOther' : 'assayImport.chooseFile')}
          </Button>
        </div>
      )}
      {fault && (
        <div role="alert">
          <FieldError id="import-file-error">{fault}</FieldError>
        </div>
      )}
    </div>
  )
}

const InWork = ({ doing, onStop }: { doing: Doing; onStop: () => void }) => {
  const { t } = useStaffWords()
  const what = doing.what === 'sending' ? t('assayImport.sending', { percent: doing.percent }) : t(`assayImport.${doing.what}`)
  return <Working what={what} onStop={onStop} />
}

const Preview = ({ run, check }: { run: Import; check: NonNullable<Import['check']> }) => {
  const { t } = useStaffWords()
  const [stands, setStands] = useState(false)
  const [tried, setTried] = useState(false)
  const { rows, good, faulty, unusual, lots, separator, decimalSign, ignoredColumns } = check
  const record = async (): Promise<void> => {
    setTried(true)
    if (unusual === 0 || stands) await run.record(unusual)
  }
  return (
    <Card>
      <p className="k-strong" role="status">
        {t('assayImport.counts', { rows: count(rows), good: count(good), faulty: count(faulty) })}{' '}
        {lots > 0 && t('assayImport.aboutLots', { smart_count: lots })}
      </p>
      <p>
        {t('assayImport.written', {
          separator: t(`assayImport.separator.${separator}`),
          decimals: t(`assayImport.decimals.${decimalSign}`),
        })}
      </p>
      {ignoredColumns.length > 0 && (
        <p className="k-line">
          <CheckShape verdict="warn" size={20} />
          <span>{t('assayImport.ignored', { columns: ignoredColumns.join(', ') })}</span>
        </p>
      )}
      {faulty > 0 && (
        <p className="k-line">
          <CheckShape verdict="block" size={20} />
          <span>{t('assayImport.notYet')}</span>
        </p>
      )}
      <ImportRows key={check.fingerprint} run={run} check={check} />
      {faulty === 0 && unusual > 0 && (
        <Tick
          label={t('assayImport.confirm', { smart_count: unusual })}
          checked={stands}
          onChange={setStands}
          error={tried && !stands ? t('assayImport.confirmFirst') : undefined}
        />
      )}
      {faulty === 0 && (
        <div className="k-main-action">
          <Button wide kind="main" busy={run.doing !== undefined} onPress={record}>
            {t('assayImport.record', { smart_count: good, count: count(good) })}
          </Button>
        </div>
      )}
    </Card>
  )
}

const Done = ({ run, recorded }: { run: Import; recorded: NonNullable<Import['recorded']> }) => {
  const { t } = useStaffWords()
  const what = `${t('assayImport.recorded', { smart_count: recorded.results, count: count(recorded.results) })} ${t('assayImport.onLots', { smart_count: recorded.lots })}`
  const links = (lots: readonly { lotId: string; lotNumber: number }[]) => (
    <p className="k-row">
      {lots.map(({ lotId, lotNumber }) => (
        <a key={lotId} className="k-button" href={`#/lots/${lotId}/show`}>
          {t('assayImport.lotLink', { number: lotNumber })}
        </a>
      ))}
    </p>
  )
  return (
    <>
      <Readback what={what} time={formatTime(recorded.recordedAt)} />
      {recorded.badLots.length > 0 && (
        <Card>
          <p className="k-line">
            <CheckShape verdict="block" size={20} />
            <span>{t('assayImport.badLots', { smart_count: recorded.badLots.length })}</span>
          </p>
          {links(recorded.badLots)}
        </Card>
      )}
      <Card>
        {recorded.lots > recorded.firstLots.length && <p>{t('assayImport.firstLots')}</p>}
        {links(recorded.firstLots)}
      </Card>
      <div className="k-actions">
        <Button kind="main" onPress={run.another}>
          {t('assayImport.chooseOther')}
        </Button>
        <a className="k-button" href="#/assays">
          {t('assayImport.toResults')}
        </a>
      </div>
    </>
  )
}

/** A refusal after the check: somebody recorded, or changed, something in between. */
const Changed = ({ run, problem }: { run: Import; problem: Problem }) => {
  const { t } = useStaffWords()
  const others = useFaultWords()
  const [first] = problem.fields
  if (!first) return <FailureBar problem={problem} />
  return (
    <div className="k-failure" role="alert">
      <CheckShape verdict="block" />
      <p>{t('assayImport.changed', { what: importFaultWords(first, t, others) })}</p>
      <Button onPress={() => run.checkAgain()}>{t('assayImport.again')}</Button>
    </div>
  )
}

const faultOfFile = (problem: Problem | undefined) => problem?.fields.find(({ path }) => path === 'file')

/** Results that a laboratory sends as a file: chosen, looked at row by row, recorded whole or not at all. */
const ImportResults = () => {
  const { t } = useStaffWords()
  const others = useFaultWords()
  const run = useImport()
  const { check, recorded, doing, problem, fileFault, stopped } = run
  usePageTitle(t('assayImport.title'))
  const ofFile = faultOfFile(problem)
  const own = (code: FileFault): string => t(`assayImport.fault.${code}`)
  const fault = fileFault ? own(fileFault) : ofFile && importFaultWords(ofFile, t, others)
  return (
    <div className="k-page">
      <h1>{t('assayImport.title')}</h1>
      {recorded && <Done run={run} recorded={recorded} />}
      {!recorded && (
        <>
          <Card>
            <p>{t('assayImport.intro')}</p>
            <ChooseFile run={run} fault={fault} />
          </Card>
          {doing && <InWork doing={doing} onStop={run.stop} />}
          {stopped && <p role="status">{t(stopped === 'check' ? 'assayImport.stoppedCheck' : 'assayImport.stoppedRecording')}</p>}
          {problem &&
            !ofFile &&
            (check ? <Changed run={run} problem={problem} /> : <FailureBar problem={problem} onTryAgain={() => run.checkAgain()} />)}
          {check && <Preview run={run} check={check} />}
          {!check && <Columns />}
        </>
      )}
    </div>
  )
}

export default ImportResults
