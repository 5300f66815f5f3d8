import { useState, type FormEvent } from 'react'
import { useNavigate } from 'react-router-dom'
import { formatPhone, readPhone } from '../../format/phones'
import { useStaffWords } from '../../i18n/words'
import { useAct } from '../../shell/useAct'
import { usePageTitle } from '../../shell/usePageTitle'
import { Button } from '../../ui/Button'
import { ErrorCount, FailureBar } from '../../ui/Failure'
import { Field, PhoneField, SelectField } from '../../ui/Field'
import type { Member } from './memberModel'

/** A new member: a name and a phone number that is read back; the rest may stay empty. */
const MemberCreate = () => {
  const { t } = useStaffWords()
  const navigate = useNavigate()
  const [name, setName] = useState('')
  const [typedPhone, setPhone] = useState('')
  const [village, setVillage] = useState('')
  const [language, setLanguage] = useState('sw')
  const [asked, setAsked] = useState(false)
  const { send, busy, problem, errorAt } = useAct()
  const phone = readPhone(typedPhone)
  usePageTitle(t('people.new'))

  const phoneFault = phone.kind === 'empty' ? t('field.empty') : phone.kind === 'wrong' ? t('field.phoneWrong') : undefined
  const lengthFault =
    phone.kind === 'short'
      ? t('field.phoneShort', { smart_count: phone.missing })
      : phone.kind === 'long'
        ? t('field.phoneLong', { smart_count: phone.excess })
        : undefined
  const faults = {
    name: name.trim() === '' ? t('field.empty') : undefined,
    phone: phoneFault ?? lengthFault,
    language: language === '' ? t('field.chooseOne') : undefined,
  }
  const wrong = Object.entries(faults).flatMap(([field, words]) => (words ? [field] : []))
  const errorOf = (field: keyof typeof faults) => (asked ? faults[field] : undefined) ?? errorAt(field)
  const add = async (event: FormEvent) => {
    event.preventDefault()
    setAsked(true)
    if (busy || wrong.length > 0 || phone.kind !== 'phone') return
    const body = { name: name.trim(), phone: phone.e164, village: village.trim(), language }
    const member = await send<Member>({ method: 'POST', path: '/members', body })
    if (member) void navigate(`/members/${member.id}/show`)
  }
  return (
    <form className="k-page k-narrow" onSubmit={(event) => void add(event)} noValidate>
      <h1>{t('people.new')}</h1>
      <ErrorCount fieldIds={asked && wrong.length > 0 ? wrong : (problem?.fields.map(({ path }) => path) ?? [])} />
      <Field id="name" label={t('people.name')} value={name} onChange={setName} error={errorOf('name')} autoComplete="off" required />
      <PhoneField
        id="phone"
        label={t('people.phone')}
        hint={t('people.phoneHint')}
        value={typedPhone}
        onChange={setPhone}
        error={errorOf('phone')}
        required
      />
      {phone.kind === 'phone' && (
        <p className="k-readback-line" role="status">
          {t('people.phoneRead', { phone: formatPhone(phone.e164) })}
        </p>
      )}
      <Field id="village" label={t('people.village')} value={village} onChange={setVillage} error={errorAt('village')} />
      <SelectField
        id="language"
        label={t('people.language')}
        value={language}
        onChange={setLanguage}
        choices={[
          { value: 'sw', label: t('language.sw') },
          { value: 'en', label: t('language.en') },
        ]}
        error={errorOf('language')}
      />
      {problem && problem.fields.length === 0 && <FailureBar problem={problem} />}
      <Button submit kind="main" wide busy={busy}>
        {t('people.add')}
      </Button>
    </form>
  )
}

export default MemberCreate
