import { useState, type FormEvent } from 'react'
import { useGetList } from 'react-admin'
import { useQueryClient } from '@tanstack/react-query'
import { useNavigate, useSearchParams } from 'react-router-dom'
import { formatPrice } from '../../format/money'
import { useWhole } from '../../providers/useWhole'
import { asProblem, useAct } from '../../shell/useAct'
import { usePageTitle } from '../../shell/usePageTitle'
import { Button } from '../../ui/Button'
import { Card } from '../../ui/Card'
import { ErrorCount, FailureBar } from '../../ui/Failure'
import { Field, NumberField, SelectField } from '../../ui/Field'
import { Loading } from '../../ui/Waiting'
import { IngredientPicker } from '../lots/IngredientPicker'
import type { Supplier } from '../suppliers/SupplierList'
import { draftLike, emptyOffer, fewestOf, readOffer, type OfferDraft, type OfferFaults } from './offerDraft'
import { bagKg, type Offer } from './offerWords'
import { useOfferWords } from './useOfferWords'
import '../lots/lots.css'

const ReadBack = ({ draft }: { draft: OfferDraft }) => {
  const { t, currency } = useOfferWords()
  const fewest = fewestOf(draft)
  if (fewest === null) return null
  return (
    <p className="k-readback-line">
      {t('offers.readBack', {
        smart_count: fewest.bags,
        pack: bagKg(fewest.packKg),
        kg: bagKg(Number((fewest.bags * fewest.packKg).toFixed(3))),
        money: formatPrice(fewest.money, currency),
      })}
    </p>
  )
}

const useNote = (start: OfferDraft) => {
  const { t } = useOfferWords()
  const navigate = useNavigate()
  const cache = useQueryClient()
  const act = useAct()
  const [draft, setDraft] = useState(start)
  const [tried, setTried] = useState(false)
  const reading = readOffer(draft)
  // once it was tried, a fault goes away as soon as it is put right
  const faults: OfferFaults = tried && reading.kind === 'faults' ? reading.faults : {}
  const fieldErrorAt = (path: keyof OfferDraft): string | undefined => {
    const own = faults[path]
    return own === undefined ? act.errorAt(path) : t(own)
  }
  const save = async () => {
    setTried(true)
    if (act.busy || reading.kind === 'faults') return
    const offer = await act.send<Offer>({ method: 'POST', path: '/supplier-offers', body: reading.body })
    if (!offer) return
    await cache.invalidateQueries()
    void navigate(`/supplier-offers/${offer.id}/show`)
  }
  const wrong = [...Object.keys(faults), ...(act.problem?.fields.map(({ path }) => path) ?? [])]
  return {
    ...act,
    draft,
    save,
    errorAt: fieldErrorAt,
    wrongIds: wrong.map((path) => `offer-${path}`),
    change: (changes: Partial<OfferDraft>) => setDraft((before) => ({ ...before, ...changes })),
  }
}

const OfferForm = ({ start }: { start: OfferDraft }) => {
  const { t, currency } = useOfferWords()
  const { draft, change, errorAt, save, busy, problem, wrongIds } = useNote(start)
  const { data: suppliers = [] } = useGetList<Supplier>('suppliers', {
    pagination: { page: 1, perPage: 200 },
    sort: { field: 'name', order: 'ASC' },
    filter: {},
  })
  const field = (name: keyof OfferDraft) => ({
    id: `offer-${name}`,
    value: draft[name],
    onChange: (value: string) => change({ [name]: value }),
    error: errorAt(name),
  })
  const submit = (event: FormEvent) => {
    event.preventDefault()
    void save()
  }
  return (
    <form className="k-stack k-form" onSubmit={submit} noValidate>
      <ErrorCount fieldIds={wrongIds} />
      {problem && problem.fields.length === 0 && <FailureBar problem={problem} onTryAgain={save} />}
      <IngredientPicker
        id="offer-ingredientId"
        label={t('offers.what')}
        value={draft.ingredientId}
        onChange={(ingredient) => change({ ingredientId: ingredient?.id ?? '' })}
        error={errorAt('ingredientId')}
      />
      <SelectField
        {...field('supplierId')}
        label={t('offers.who')}
        choices={suppliers.map(({ id, name }) => ({ value: id, label: name }))}
        required
      />
      <NumberField {...field('pricePerKg')} label={t('offers.price')} unit={currency} places={4} required />
      <NumberField {...field('packKg')} label={t('offers.pack')} hint={t('offers.packHint')} unit="kg" required />
      <NumberField {...field('fewestPacks')} label={t('offers.fewest')} hint={t('offers.fewestHint')} unit={t('offers.bags')} />
      <ReadBack draft={draft} />
      <NumberField {...field('mostKg')} label={t('offers.mostField')} hint={t('offers.mostHint')} unit="kg" />
      <NumberField {...field('deliveryDays')} label={t('offers.days')} hint={t('offers.daysHint')} unit={t('offers.daysUnit')} required />
      <Field {...field('validUntil')} label={t('offers.until')} hint={t('offers.untilHint')} type="date" required />
      <Field {...field('note')} label={t('offers.note')} rows={2} />
      <p className="k-caption">{t('offers.neverEdited')}</p>
      <div className="k-main-action">
        <Button submit wide kind="main" busy={busy}>
          {t('offers.save')}
        </Button>
      </div>
    </form>
  )
}

/** A form that starts from another offer: a correction of it, or the next one of the same supplier. */
const FormLike = ({ id }: { id: string }) => {
  const { data, error, refetch } = useWhole<Offer>('supplier-offers', id)
  if (error) return <FailureBar problem={asProblem(error)} doing="load" onTryAgain={() => void refetch()} />
  return data ? <OfferForm start={draftLike(data)} /> : <Loading rows={4} />
}

const OfferCreate = () => {
  const { t } = useOfferWords()
  const [search] = useSearchParams()
  const like = search.get('like')
  usePageTitle(t('offers.add'))
  return (
    <div className="k-page">
      <h1>{t('offers.add')}</h1>
      <Card>{like === null ? <OfferForm start={emptyOffer(search.get('supplier') ?? '')} /> : <FormLike id={like} />}</Card>
    </div>
  )
}

export default OfferCreate
