import { useEffect, useRef, useState, type FormEvent } from 'react'
import type { GatePriceView } from '#contract/gate-price'
import { useStaffWords } from '../i18n/words'
import { useMay } from '../providers/useMay'
import { GateAnswer } from '../resources/gate-price/GateAnswer'
import { GateFields, GateTests } from '../resources/gate-price/GateFields'
import { emptyGate, readGate, receiveTruck, type GateDraft } from '../resources/gate-price/gateDraft'
import { useIngredients } from '../resources/lots/IngredientPicker'
import { useAct } from '../shell/useAct'
import { usePageTitle } from '../shell/usePageTitle'
import { Button } from '../ui/Button'
import { Card } from '../ui/Card'
import { ErrorCount, FailureBar } from '../ui/Failure'
import '../resources/lots/lots.css'
import '../resources/gate-price/gate.css'

type Answered = { readonly view: GatePriceView; readonly draft: GateDraft }

/** Asked at the gate before anything is unloaded: what the mill should pay for this truck at most. */
const GatePricePage = () => {
  const { t } = useStaffWords()
  const may = useMay()
  const { data: ingredients = [] } = useIngredients()
  const { send, busy, problem, errorAt: refusedAt, forget } = useAct()
  const [draft, setDraft] = useState(emptyGate)
  const [tried, setTried] = useState(false)
  const [answered, setAnswered] = useState<Answered>()
  const answer = useRef<HTMLDivElement>(null)
  usePageTitle(t('gate.title'))
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
  const press = async (event: FormEvent) => {
    event.preventDefault()
    setTried(true)
    if (busy || body === null) return
    const view = await send<GatePriceView>({ method: 'POST', path: '/gate-price', body })
    if (view) setAnswered({ view, draft })
  }
  const ingredient = ingredients.find(({ id }) => id === answered?.draft.ingredientId)
  const wrong = [...Object.keys(shown), ...(problem?.fields.map(({ path }) => path) ?? [])]
  return (
    <div className="k-page">
      <h1>{t('gate.title')}</h1>
      <p>{t('gate.lead')}</p>
      <div className="k-columns">
        <form className="k-stack k-form" onSubmit={(event) => void press(event)} noValidate>
          <ErrorCount fieldIds={wrong.map((path) => `gate-${path}`)} />
          {problem && problem.fields.length === 0 && <FailureBar problem={problem} doing="load" />}
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
          <div className="k-main-action">
            <Button submit wide kind="main" busy={busy}>
              {t('gate.ask')}
            </Button>
          </div>
          {busy && <p role="status">{t('gate.working')}</p>}
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
    </div>
  )
}

export default GatePricePage
