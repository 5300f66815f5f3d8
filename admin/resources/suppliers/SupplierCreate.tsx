import { useState, type FormEvent } from 'react'
import { useQueryClient } from '@tanstack/react-query'
import { useNavigate, useSearchParams } from 'react-router-dom'
import { readPhone } from '../../format/phones'
import { useStaffWords } from '../../i18n/words'
import { useAct } from '../../shell/useAct'
import { usePageTitle } from '../../shell/usePageTitle'
import { Button } from '../../ui/Button'
import { Card } from '../../ui/Card'
import { FailureBar } from '../../ui/Failure'
import { Field, PhoneField } from '../../ui/Field'
import { keepDraft, keptDraft } from '../lots/receiveDraft'
import type { Supplier } from './SupplierList'
import '../lots/lots.css'

/** A phone is kept in its international form; one that cannot be read is not sent. */
const phoneOf = (typed: string): string | null => {
  const reading = readPhone(typed)
  if (reading.kind === 'empty') return ''
  return reading.kind === 'phone' ? reading.e164 : null
}

const SupplierCreate = () => {
  const { t } = useStaffWords()
  const navigate = useNavigate()
  const cache = useQueryClient()
  const [search] = useSearchParams()
  const forDelivery = search.get('for') === 'delivery'
  const { send, busy, problem, errorAt } = useAct()
  const [name, setName] = useState('')
  const [phone, setPhone] = useState('')
  const [place, setPlace] = useState('')
  const [empty, setEmpty] = useState(false)
  usePageTitle(t('suppliers.add'))
  const submit = async (event: FormEvent) => {
    event.preventDefault()
    const read = phoneOf(phone)
    setEmpty(name.trim() === '')
    if (busy || name.trim() === '' || read === null) return
    const made = await send<Supplier>({ method: 'POST', path: '/suppliers', body: { name: name.trim(), phone: read, place: place.trim() } })
    if (!made) return
    await cache.invalidateQueries()
    if (forDelivery) keepDraft({ ...keptDraft(), supplierId: made.id })
    void navigate(forDelivery ? '/lots/create' : `/suppliers/${made.id}/show`)
  }
  const taken = problem?.code === 'already-exists' ? t('suppliers.same') : undefined
  return (
    <div className="k-page">
      <h1>{t('suppliers.add')}</h1>
      <Card>
        <form className="k-stack k-form" onSubmit={(event) => void submit(event)} noValidate>
          {problem && problem.fields.length === 0 && <FailureBar problem={problem} />}
          <Field
            label={t('suppliers.name')}
            value={name}
            onChange={setName}
            error={empty ? t('field.empty') : (taken ?? errorAt('name'))}
            required
          />
          <PhoneField label={t('suppliers.phone')} hint={t('ui.optional')} value={phone} onChange={setPhone} error={errorAt('phone')} />
          <Field label={t('suppliers.place')} hint={t('ui.optional')} value={place} onChange={setPlace} error={errorAt('place')} />
          <div className="k-actions">
            <Button submit wide kind="main" busy={busy}>
              {t('suppliers.save')}
            </Button>
            <a className="k-button" href={forDelivery ? '#/lots/create' : '#/suppliers'}>
              {forDelivery ? t('suppliers.backToReceive') : t('action.back')}
            </a>
          </div>
        </form>
      </Card>
    </div>
  )
}

export default SupplierCreate
