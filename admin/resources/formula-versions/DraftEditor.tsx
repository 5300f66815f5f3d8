import { useCallback, useEffect, useMemo, useState } from 'react'
import { useStaffWords } from '../../i18n/words'
import { useAct } from '../../shell/useAct'
import { Button } from '../../ui/Button'
import { Card } from '../../ui/Card'
import { ErrorCount, FailureBar } from '../../ui/Failure'
import { Readback } from '../../ui/Readback'
import { formatTime } from '../../format/dates'
import { BestTest } from './BestTest'
import { CurveSection } from './CurveSection'
import { Findings } from './Findings'
import { Fold } from './Fold'
import { LimitsEditor } from './LimitsEditor'
import { AnswerLine, LiveAnswer, useLiveAnswer } from './LiveAnswer'
import { OtherMixes } from './OtherMixes'
import { setLimit } from './setLimit'
import { useNeededOn } from './useNeededOn'
import { VersionHead } from './VersionHead'
import { canSolve, formOf, NO_TRIAL, readForm, type Fault, type Trial, type Version } from './versionForm'

const FAULT_WORDS = {
  'not-a-number': 'field.notANumber',
  'which-number': 'field.notANumber',
  empty: 'limit.faultEmpty',
  'min-above-max': 'limit.faultOrder',
} as const satisfies Record<Fault, string>

const useAskBeforeLeaving = (unsaved: boolean): void => {
  useEffect(() => {
    if (!unsaved) return undefined
    const ask = (event: BeforeUnloadEvent) => event.preventDefault()
    addEventListener('beforeunload', ask)
    return () => removeEventListener('beforeunload', ask)
  }, [unsaved])
}

type DraftProps = { readonly version: Version; readonly onReload: () => Promise<Version | undefined> }

/** A draft: its limits one row each, and the mix they give, worked out as they change. */
export const DraftEditor = ({ version, onReload }: DraftProps) => {
  const { t } = useStaffWords()
  const [saved, setSaved] = useState(version)
  const [form, setForm] = useState(() => formOf(version))
  const [asked, setAsked] = useState(false)
  const [savedAt, setSavedAt] = useState('')
  const { send, busy, problem, errorAt, forget } = useAct()
  const read = useMemo(() => readForm(form), [form])
  const [trial, setTrial] = useState<Trial>(NO_TRIAL)
  const neededOn = useNeededOn(version.formulaId)
  const live = useLiveAnswer({
    stage: version.stage,
    asked: canSolve(read) ? { limits: read.body.limits, medication: read.body.medication } : null,
    saved: { limits: saved.limits, medication: saved.medication },
    trial,
  })
  const unsaved = useMemo(() => JSON.stringify(form) !== JSON.stringify(formOf(saved)), [form, saved])
  useAskBeforeLeaving(unsaved)

  const fault = (path: string): string | undefined => {
    const found = read.faults.get(path)
    if (found && (asked || found === 'min-above-max')) return t(FAULT_WORDS[found])
    return errorAt(path)
  }
  const setRow = useCallback((row: string, value: number) => setForm((current) => setLimit(current, row, value)), [])
  const take = (next: Version) => {
    setSaved(next)
    setForm(formOf(next))
    setAsked(false)
    forget()
  }
  const save = async () => {
    setAsked(true)
    if (read.faults.size > 0) return
    const path = `/formula-versions/${version.id}`
    const next = await send<Version>({ method: 'PATCH', path, body: read.body, revision: saved.revision })
    if (!next) return
    take(next)
    setSavedAt(new Date().toISOString())
  }
  const reload = async () => {
    const next = await onReload()
    if (next) take(next)
  }
  const wrong = asked ? [...read.faults.keys()] : (problem?.fields.map(({ path }) => path) ?? [])
  return (
    <div className="k-page">
      <VersionHead version={saved} unsaved={unsaved} />
      <ErrorCount fieldIds={wrong} />
      {problem?.code === 'stale-revision' ? (
        <div className="k-failure" role="alert">
          <div>
            <p className="k-strong">{t('ui.notSaved')}</p>
            <p>{t('formula.stale')}</p>
          </div>
          <Button onPress={reload}>{t('formula.loadSaved')}</Button>
        </div>
      ) : (
        problem && problem.fields.length === 0 && <FailureBar problem={problem} onTryAgain={save} />
      )}
      <AnswerLine state={live} />
      <div className="k-columns k-columns-formula">
        <div className="k-stack">
          <LimitsEditor form={form} saved={saved} errorAt={fault} onChange={setForm} mix={live.mix} trial={trial} onTrial={setTrial} />
          {savedAt && !unsaved && <Readback what={t('formula.saved', { version: saved.version })} time={formatTime(savedAt)} />}
          {unsaved && <p role="status">{t('formula.unsaved')}</p>}
          <div className="k-actions">
            <Button kind="main" wide busy={busy} onPress={save}>
              {t('formula.save')}
            </Button>
          </div>
          {!unsaved && (
            <Card title={t('formula.checks')}>
              <Findings findings={saved.findings} />
            </Card>
          )}
        </div>
        <LiveAnswer state={live} trial={trial} onTrial={setTrial} onSet={setRow} neededOn={neededOn} />
      </div>
      <Card title={t('explain.askMore')}>
        <div>
          <Fold title={t('explain.curveTitle')}>
            <CurveSection request={live.request} mix={live.mix} />
          </Fold>
          <Fold title={t('explain.othersTitle')}>
            <OtherMixes request={live.request} />
          </Fold>
          <Fold title={t('explain.testTitle')}>
            <BestTest request={live.request} />
          </Fold>
        </div>
      </Card>
    </div>
  )
}
