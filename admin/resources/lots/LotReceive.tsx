import { useState, type FormEvent } from 'react'
import { useDataProvider, useGetList } from 'react-admin'
import type { z } from 'zod'
import type { LotView } from '#contract/lots'
import { mustDeclareMedication } from '#core/safety/lot-duties'
import type { SupplierView } from '#contract/suppliers'
import { daysFrom } from '../../format/dates'
import { useStaffWords } from '../../i18n/words'
import { newKey, type Problem } from '../../providers/http'
import type { MillDataProvider } from '../../providers/dataProvider'
import { asProblem } from '../../shell/useAct'
import { useFaultWords } from '../../shell/useFaultWords'
import { usePageTitle } from '../../shell/usePageTitle'
import { Button } from '../../ui/Button'
import { Card } from '../../ui/Card'
import { ErrorCount, FailureBar } from '../../ui/Failure'
import { Field, SelectField } from '../../ui/Field'
import { IngredientPicker, type IngredientRow } from './IngredientPicker'
import { today } from './lotWords'
import { MedicineFields } from './MedicineFields'
import { dropDraft, emptyDraft, keepDraft, keptDraft, readDraft, type Faults, type ReceiveDraft } from './receiveDraft'
import { Received } from './Received'
import { WeightFields } from './WeightFields'
import './lots.css'

type Supplier = z.output<typeof SupplierView>

/** Supplier, with the way to a new one: a page of its own that comes back here. */
const SupplierField = ({ value, onChange, error }: { value: string; onChange: (id: string) => void; error?: string | undefined }) => {
  const { t } = useStaffWords()
  const { data = [] } = useGetList<Supplier>('suppliers', {
    pagination: { page: 1, perPage: 200 },
    sort: { field: 'name', order: 'ASC' },
    filter: {},
  })
  return (
    <div className="k-stack">
      <SelectField
        id="receive-supplierId"
        label={t('receive.supplier')}
        value={value}
        choices={data.map(({ id, name }) => ({ value: id, label: name }))}
        onChange={onChange}
        error={error}
        required
      />
      <div className="k-row">
        <a className="k-button" href="#/suppliers/create?for=delivery">
          {t('receive.newSupplier')}
        </a>
        <span className="k-caption">{t('receive.newSupplierHint')}</span>
      </div>
    </div>
  )
}

/** The day up to which an ingredient keeps from now on, by the shelf life of the book; empty where it has none. */
const keepsUntil = (days: number | null | undefined): string => (days ? (daysFrom(today(), days + 1).at(-1) ?? '') : '')

type FormProps = { readonly onReceived: (lot: LotView, category: string) => void }

const useReceive = ({ onReceived }: FormProps) => {
  const { t } = useStaffWords()
  const faultWords = useFaultWords()
  const mill = useDataProvider<MillDataProvider>()
  const [draft, setDraft] = useState<ReceiveDraft>(keptDraft)
  const [tried, setTried] = useState(false)
  const [problem, setProblem] = useState<Problem>()
  const [busy, setBusy] = useState(false)
  const change = (changes: Partial<ReceiveDraft>) => {
    const next = { ...draft, ...changes }
    setDraft(next)
    keepDraft(next)
  }
  // once it was tried, a fault goes away as soon as it is put right
  const reading = readDraft(draft, new Date().toISOString())
  const faults: Faults = tried && reading.kind === 'faults' ? reading.faults : {}
  const errorAt = (path: string): string | undefined => {
    const own = faults[path as keyof Faults]
    if (own) return t(own)
    const field = problem?.fields.find((candidate) => candidate.path === path)
    return field && faultWords(field)
  }
  const send = async () => {
    setTried(true)
    setProblem(undefined)
    if (reading.kind === 'faults') return
    setBusy(true)
    change({ receivedAt: reading.body.receivedAt })
    try {
      const lot = await mill.act<LotView>('POST', '/lots', reading.body, { idempotencyKey: draft.key })
      dropDraft()
      onReceived(lot, draft.category)
    } catch (error) {
      const refused = asProblem(error)
      setProblem(refused)
      // refused: nothing was kept, so the next try is a delivery of its own; without an answer it may have been taken
      if (refused.status !== 0) change({ key: newKey(), receivedAt: '' })
    } finally {
      setBusy(false)
    }
  }
  const wrong = [...Object.keys(faults), ...(problem?.fields.map(({ path }) => path) ?? [])]
  return { draft, change, errorAt, send, busy, problem, wrongIds: wrong.map((path) => `receive-${path}`) }
}

const ReceiveForm = (props: FormProps) => {
  const { t } = useStaffWords()
  const { draft, change, errorAt, send, busy, problem, wrongIds } = useReceive(props)
  const [proposedDays, setProposedDays] = useState<number | null>(null)
  const pick = (ingredient: IngredientRow | undefined) => {
    setProposedDays(ingredient?.shelfLifeDays ?? null)
    change({
      ingredientId: ingredient?.id ?? '',
      category: ingredient?.category ?? '',
      expiresOn: keepsUntil(ingredient?.shelfLifeDays),
      medicine: '',
    })
  }
  const submit = (event: FormEvent) => {
    event.preventDefault()
    if (!busy) void send()
  }
  return (
    <form className="k-stack k-form" onSubmit={submit} noValidate>
      <ErrorCount fieldIds={wrongIds} />
      {problem && problem.fields.length === 0 && <FailureBar problem={problem} onTryAgain={send} />}
      <IngredientPicker value={draft.ingredientId} onChange={pick} error={errorAt('ingredientId')} />
      {mustDeclareMedication(draft) && <MedicineFields draft={draft} onChange={change} errorAt={errorAt} />}
      <SupplierField value={draft.supplierId} onChange={(supplierId) => change({ supplierId })} error={errorAt('supplierId')} />
      <WeightFields draft={draft} onChange={change} errorAt={errorAt} />
      <Field
        id="receive-storagePlace"
        label={t('receive.place')}
        value={draft.storagePlace}
        onChange={(storagePlace) => change({ storagePlace })}
        error={errorAt('storagePlace')}
      />
      <Field
        id="receive-deliveryNote"
        label={t('receive.note')}
        value={draft.deliveryNote}
        onChange={(deliveryNote) => change({ deliveryNote })}
        error={errorAt('deliveryNote')}
      />
      <Field
        id="receive-expiresOn"
        label={t('receive.expires')}
        type="date"
        hint={proposedDays ? t('receive.expiresProposed', { smart_count: proposedDays }) : t('receive.expiresUnknown')}
        value={draft.expiresOn}
        onChange={(expiresOn) => change({ expiresOn })}
        error={errorAt('expiresOn')}
      />
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
      <Card>
        <ReceiveForm onReceived={(lot, category) => setReceived({ lot, category })} />
      </Card>
    </div>
  )
}

export default LotReceive
