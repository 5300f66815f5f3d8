import { useState, type FormEvent } from 'react'
import { useGetList } from 'react-admin'
import { useNavigate } from 'react-router-dom'
import type { z } from 'zod'
import type { RequirementView, StageView } from '#contract/requirements'
import { sourceTitle } from '#contract/source-titles'
import { DEFAULT_SOURCE } from '#core/requirement/requirement-set'
import { useStaffWords, type StaffKey } from '../../i18n/words'
import { useAct } from '../../shell/useAct'
import { usePageTitle } from '../../shell/usePageTitle'
import { Button } from '../../ui/Button'
import { ErrorCount, FailureBar, FieldError } from '../../ui/Failure'
import { Field, SelectField } from '../../ui/Field'
import { KnownMark } from '../../ui/KnownBy'
import { Loading } from '../../ui/Waiting'
import { setsOf, targetsOf, type RequirementSetCount } from './requirementSets'
import { ON_AVERAGE, RequirementUse, useToSend } from './RequirementUse'

type Stage = z.output<typeof StageView>
type Requirement = z.output<typeof RequirementView>

const ALL = 200

const SetChoice = ({ set, chosen, onChoose }: { set: RequirementSetCount; chosen: boolean; onChoose: () => void }) => {
  const { t, language } = useStaffWords()
  return (
    <label className="k-choice" data-chosen={chosen || undefined}>
      <input type="radio" name="requirementSource" checked={chosen} onChange={onChoose} />
      <span>
        <span className="k-strong">
          {sourceTitle(set.source, language)}
          {set.source === DEFAULT_SOURCE && `, ${t('formula.setRecommended')}`}
        </span>
        <span className="k-row k-caption">
          <span>{t('formula.setCounts', { smart_count: set.limits })}</span>
          {set.read > 0 && (
            <span className="k-limit-source">
              <KnownMark knownBy="book" /> {t('formula.setRead', { smart_count: set.read })}
            </span>
          )}
          {set.memory > 0 && (
            <span className="k-limit-source">
              <KnownMark knownBy="memory" /> {t('formula.setMemory', { smart_count: set.memory })}
            </span>
          )}
        </span>
      </span>
    </label>
  )
}

/** The rows of all published sets for a stage. */
const useRequirements = (stage: string): readonly Requirement[] | undefined =>
  useGetList<Requirement>(
    'requirements',
    { pagination: { page: 1, perPage: ALL }, sort: { field: 'source', order: 'ASC' }, filter: { stage } },
    { enabled: stage !== '' },
  ).data

type SetsProps = {
  readonly stage: string
  readonly rows: readonly Requirement[] | undefined
  readonly value: string
  readonly onChange: (source: string) => void
}
const Sets = ({ stage, rows, value, onChange }: SetsProps) => {
  const { t } = useStaffWords()
  if (stage === '') return <p>{t('formula.setFirst')}</p>
  if (!rows) return <Loading rows={2} />
  const sets = setsOf(rows)
  if (sets.length === 0) return <p>{t('formula.ifNone')}</p>
  return (
    <div className="k-stack">
      {sets.map((set) => (
        <SetChoice key={set.source} set={set} chosen={set.source === value} onChoose={() => onChange(set.source)} />
      ))}
    </div>
  )
}

/** A formula begins from a published requirement set; what it is called in both languages stands on every bag. */
const FormulaCreate = () => {
  const { t } = useStaffWords()
  const navigate = useNavigate()
  const [nameEn, setNameEn] = useState('')
  const [nameSw, setNameSw] = useState('')
  const [stage, setStage] = useState('')
  const [requirementSource, setSource] = useState<string>(DEFAULT_SOURCE)
  const [use, setUse] = useState(ON_AVERAGE)
  const [asked, setAsked] = useState(false)
  const rows = useRequirements(stage)
  const { send, busy, problem, errorAt } = useAct()
  const { data: stages } = useGetList<Stage>('stages', { pagination: { page: 1, perPage: ALL }, sort: { field: 'id', order: 'ASC' } })
  usePageTitle(t('formula.new'))

  const values = { nameEn: nameEn.trim(), nameSw: nameSw.trim(), stage, requirementSource }
  const requirementUse = useToSend(use)
  const missing = [
    ...Object.entries(values).flatMap(([field, value]) => (value === '' ? [field] : [])),
    ...(requirementUse === null ? ['requirementUse.certainty'] : []),
  ]
  const fault = (field: keyof typeof values): string | undefined =>
    asked && values[field] === ''
      ? t(field === 'stage' || field === 'requirementSource' ? 'field.chooseOne' : 'field.empty')
      : errorAt(field)
  const begin = async (event: FormEvent) => {
    event.preventDefault()
    setAsked(true)
    if (busy || missing.length > 0) return
    const made = await send<{ id: string }>({ method: 'POST', path: '/formulas', body: { ...values, requirementUse } })
    if (made) void navigate(`/formula-versions/${made.id}/show`)
  }
  return (
    <form className="k-page k-narrow" onSubmit={(event) => void begin(event)} noValidate>
      <h1>{t('formula.new')}</h1>
      <ErrorCount fieldIds={asked && missing.length > 0 ? missing : (problem?.fields.map(({ path }) => path) ?? [])} />
      <Field id="nameEn" label={t('formula.nameEn')} value={nameEn} onChange={setNameEn} error={fault('nameEn')} required />
      <Field id="nameSw" label={t('formula.nameSw')} value={nameSw} onChange={setNameSw} error={fault('nameSw')} required />
      <SelectField
        id="stage"
        label={t('formula.stage')}
        value={stage}
        onChange={setStage}
        choices={(stages ?? [])
          .filter(({ sources }) => sources.length > 0)
          .map(({ id }) => ({ value: id, label: t(`stage.${id}` as StaffKey) }))}
        error={fault('stage')}
        required
      />
      <fieldset className="k-field" id="requirementSource" tabIndex={-1}>
        <legend>{t('formula.set')}</legend>
        <Sets stage={stage} rows={rows} value={requirementSource} onChange={setSource} />
        {fault('requirementSource') && <FieldError id="requirementSource-error">{fault('requirementSource')}</FieldError>}
      </fieldset>
      {rows && (
        <RequirementUse
          value={use}
          onChange={setUse}
          targets={targetsOf(rows, requirementSource)}
          error={asked && requirementUse === null ? t('formula.useSureWrong') : errorAt('requirementUse.certainty')}
        />
      )}
      {problem && problem.fields.length === 0 && <FailureBar problem={problem} />}
      <Button submit kind="main" wide busy={busy}>
        {t('formula.begin')}
      </Button>
    </form>
  )
}

export default FormulaCreate
