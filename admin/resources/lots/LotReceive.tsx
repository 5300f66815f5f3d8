import { useState, type FormEvent } from 'react'
import type { LotView, ReceiveLotBody } from '#contract/lots'
import { formatDate, formatTime } from '../../format/dates'
import { formatKg } from '../../format/numbers'
import { useStaffWords } from '../../i18n/words'
import { enter, entryToCorrect } from '../../outbox/outbox'
import { usePageTitle } from '../../shell/usePageTitle'
import { Button } from '../../ui/Button'
import { Card } from '../../ui/Card'
import { ErrorCount, FailureBar, FieldError } from '../../ui/Failure'
import { useIngredientName } from '../ingredients/names'
import { useIngredients } from './IngredientPicker'
import { draftOfRefused, dropDraft, emptyDraft, keepDraft, keptDraft, type ReceiveDraft } from './receiveDraft'
import { Received } from './Received'
import { ReceiveFields, useSuppliers } from './ReceiveFields'
import { useReceive } from './useReceive'
import './lots.css'

type FormProps = { readonly onReceived: (lot: LotView, category: string) => void }

/** What the delivery is called while it waits on the phone. */
const useDeliveryFacts = () => {
  const nameOf = useIngredientName()
  const { data: ingredients = [] } = useIngredients()
  const { data: suppliers = [] } = useSuppliers()
  return ({ ingredientId, supplierId, netKg }: ReceiveLotBody) => {
    const ingredient = ingredients.find(({ id }) => id === ingredientId)
    return {
      kg: formatKg(netKg),
      name: ingredient ? nameOf(ingredient) : ingredientId,
      supplier: suppliers.find(({ id }) => id === supplierId)?.name ?? '',
    }
  }
}

/** Nobody types when a delivery came, so no field can say that this is wrong. */
const WrongClock = ({ error }: { error: string }) => {
  const { t, language } = useStaffWords()
  const now = new Date().toISOString()
  return (
    <div id="receive-receivedAt" tabIndex={-1} role="alert">
      <FieldError id="receive-clock">
        {error}. {t('receive.clock', { date: formatDate(now, language), time: formatTime(now) })}
      </FieldError>
    </div>
  )
}

const ReceiveForm = ({ onReceived }: FormProps) => {
  const { t } = useStaffWords()
  const factsOf = useDeliveryFacts()
  const [wrong] = useState(entryToCorrect)
  const { draft, change, errorAt, submit, busy, problem, wrongIds } = useReceive({
    start: () => (wrong ? draftOfRefused(wrong) : keptDraft()),
    onDraft: keepDraft,
    send: async (body, key) => {
      const typed: ReceiveDraft = { ...draft, receivedAt: body.receivedAt }
      const about = { kind: 'receive', facts: factsOf(body), page: '/lots/create', draft: typed, replaces: wrong?.key } as const
      const lot = await enter<LotView>({ key, path: '/lots', body, ...about })
      if (!lot) dropDraft()
      return lot
    },
    onDone: (lot, { category }) => {
      dropDraft()
      onReceived(lot, category)
    },
  })
  const clock = errorAt('receivedAt')
  const press = (event: FormEvent) => {
    event.preventDefault()
    if (!busy) void submit()
  }
  return (
    <form className="k-stack k-form" onSubmit={press} noValidate>
      <ErrorCount fieldIds={wrongIds} />
      {clock && <WrongClock error={clock} />}
      {problem && problem.fields.length === 0 && <FailureBar problem={problem} onTryAgain={submit} />}
      <ReceiveFields draft={draft} onChange={change} errorAt={errorAt} />
      <div className="k-main-action">
        <Button submit wide kind="main" busy={busy}>
          {t('receive.save')}
        </Button>
      </div>
    </form>
  )
}

const LotReceive = () => {
  const { t } = useStaffWords()
  const [received, setReceived] = useState<{ lot: LotView; category: string }>()
  usePageTitle(t('receive.title'))
  if (received)
    return (
      <Received
        lot={received.lot}
        category={received.category}
        onAnother={() => {
          keepDraft(emptyDraft())
          setReceived(undefined)
        }}
      />
    )
  return (
    <div className="k-page">
      <h1>{t('receive.title')}</h1>
      <p>
        <a className="k-button" href="#/gate-price">
          {t('gate.title')}
        </a>
      </p>
      <Card>
        <ReceiveForm onReceived={(lot, category) => setReceived({ lot, category })} />
      </Card>
    </div>
  )
}

export default LotReceive
