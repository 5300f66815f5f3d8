import { useEffect, useRef, useState, type FormEvent } from 'react'
import { useStaffWords } from '../i18n/words'
import { useMay } from '../providers/useMay'
import { GateAnswer } from '../resources/gate-price/GateAnswer'
import { GateFields, GateTests } from '../resources/gate-price/GateFields'
import { emptyGate, readGate, receiveTruck, type GateDraft } from '../resources/gate-price/gateDraft'
import { useGateQuestion } from '../resources/gate-price/useGateQuestion'
import { SlowWork } from '../resources/formula-versions/AskedAnswer'
import { useIngredients } from '../resources/lots/IngredientPicker'
import { usePageTitle } from '../shell/usePageTitle'
import { Button } from '../ui/Button'
import { Card } from '../ui/Card'
import { ErrorCount, FailureBar } from '../ui/Failure'
import '../resources/lots/lots.css'
import '../resources/gate-price/gate.css'

const GateQuestion = () => {
  const { t } = useStaffWords()
  const may = useMay()
  const { data: ingredients = [] } = useIngredients()
  const { ask, stop, working, answered, problem, errorAt: refusedAt, forget } = useGateQuestion()
  const [draft, setDraft] = useState(emptyGate)
  const [tried, setTried] = useState(false)
  const answer = useRef<HTMLDivElement>(null)
  // on a phone the answer stands below the fields
  useEffect(() => {
    answer.current?.scrollIntoView({ block: 'start' })
  }, [answered])
  const { body, faults } = readGate(draft)
  const shown = tried ? faults : {}
  const change = (changes: Partial<GateDraft>) => {
    setDraft({ ...draft, ...changes })
    forget()
  }
  const errorAt = (field: keyof GateDraft): string | undefined => {
    const own = shown[field]
    return own ? t(own) : refusedAt(field)
  }
  const press = (event: FormEvent) => {
    event.preventDefault()
    setTried(true)
    if (!working && body !== null) void ask(body, draft)
  }
  const ingredient = ingredients.find(({ id }) => id === answered?.draft.ingredientId)
  const wrong = [...Object.keys(shown), ...(problem?.fields.map(({ path }) => path) ?? [])]
  return (
    <>
      <p>{t('gate.lead')}</p>
      <div className="k-columns">
        <form className="k-stack k-form" onSubmit={press} noValidate>
          <ErrorCount fieldIds={wrong.map((path) => `gate-${path}`)} />
          <Card>
            <div className="k-stack">
              <GateFields draft={draft} change={change} errorAt={errorAt} />
              <details className="k-fold k-gate-tests">
                <summary>{t('gate.tests')}</summary>
                <div className="k-stack">
                  <GateTests draft={draft} change={change} errorAt={errorAt} />
                </div>
              </details>
            </div>
          </Card>
          {problem && problem.fields.length === 0 && <FailureBar problem={problem} doing="load" />}
          <div className="k-main-action">
            <Button submit wide kind="main" busy={working}>
              {t('gate.ask')}
            </Button>
          </div>
          <SlowWork working={working} what={t('gate.working')} onStop={stop} />
        </form>
        {answered && (
          <div className="k-stack" ref={answer}>
            {answered.draft !== draft && <p role="status">{t('gate.changed')}</p>}
            <GateAnswer view={answered.view} />
            {ingredient && may('create', 'lots') && answered.view.verdict !== 'blocked' && (
              <Button onPress={() => receiveTruck(answered.draft, ingredient)}>{t('gate.receive')}</Button>
            )}
          </div>
        )}
      </div>
    </>
  )
}

/** Asked at the gate before anything is unloaded: what the mill should pay for this truck at most. */
const GatePricePage = () => {
  const { t } = useStaffWords()
  const may = useMay()
  usePageTitle(t('gate.title'))
  return (
    <div className="k-page">
      <h1>{t('gate.title')}</h1>
      {may('read', 'gate-price') ? <GateQuestion /> : <p role="status">{t('page.notYours')}</p>}
    </div>
  )
}

export default GatePricePage
