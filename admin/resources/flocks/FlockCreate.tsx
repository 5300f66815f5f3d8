import { useState, type FormEvent } from 'react'
import { useNavigate, useSearchParams } from 'react-router-dom'
import { FLOCK_TYPES } from '#contract/members'
import { formatDate, isoDay } from '../../format/dates'
import { useStaffWords } from '../../i18n/words'
import { useWhole } from '../../providers/useWhole'
import { asProblem, useAct } from '../../shell/useAct'
import { usePageTitle } from '../../shell/usePageTitle'
import { Button } from '../../ui/Button'
import { ErrorCount, FailureBar } from '../../ui/Failure'
import { Field, SelectField } from '../../ui/Field'
import { Loading } from '../../ui/Waiting'
import type { Flock, Member } from '../members/memberModel'
import { FlockFields, readBirds } from './FlockFields'
import { canLay, daysFromTo, useFlockWords } from './flockWords'

const NewFlock = ({ member }: { member: Member }) => {
  const { t, language } = useStaffWords()
  const { ageOf } = useFlockWords()
  const navigate = useNavigate()
  const [name, setName] = useState('')
  const [type, setType] = useState('')
  const [hatchedOn, setHatchedOn] = useState('')
  const [typedBirds, setBirds] = useState('')
  const [lays, setLays] = useState(false)
  const [asked, setAsked] = useState(false)
  const { send, busy, problem, errorAt } = useAct()
  const flockType = FLOCK_TYPES.find((known) => known === type) ?? ''
  const birds = readBirds(typedBirds)
  const laying = lays && canLay(flockType)
  const title = t('flocks.new', { name: member.name })
  usePageTitle(title)

  const faults = {
    name: name.trim() === '' ? t('field.empty') : undefined,
    flockType: flockType === '' ? t('field.chooseOne') : undefined,
    hatchedOn: hatchedOn === '' ? t('field.empty') : undefined,
    birds: birds === null ? t('flocks.birdsWhole') : undefined,
  }
  const wrong = Object.entries(faults).flatMap(([field, words]) => (words ? [field] : []))
  const errorOf = (field: keyof typeof faults) => (asked ? faults[field] : undefined) ?? errorAt(field)
  const ageDays = hatchedOn === '' ? -1 : daysFromTo(hatchedOn, isoDay(new Date().toISOString()))
  const add = async (event: FormEvent) => {
    event.preventDefault()
    setAsked(true)
    if (busy || wrong.length > 0) return
    const body = { memberId: member.id, name: name.trim(), flockType, hatchedOn, birds, laying }
    const flock = await send<Flock>({ method: 'POST', path: '/flocks', body })
    if (flock) void navigate(`/members/${member.id}/show`)
  }
  return (
    <form className="k-page k-narrow" onSubmit={(event) => void add(event)} noValidate>
      <h1>{title}</h1>
      <ErrorCount fieldIds={asked && wrong.length > 0 ? wrong : (problem?.fields.map(({ path }) => path) ?? [])} />
      <SelectField
        id="flockType"
        label={t('flocks.type')}
        value={type}
        onChange={setType}
        choices={FLOCK_TYPES.map((value) => ({ value, label: t(`flocks.types.${value}`) }))}
        error={errorOf('flockType')}
        required
      />
      <Field
        id="name"
        label={t('flocks.name')}
        hint={t('flocks.nameHint')}
        value={name}
        onChange={setName}
        error={errorOf('name')}
        required
      />
      <Field
        id="hatchedOn"
        label={t('flocks.hatched')}
        type="date"
        value={hatchedOn}
        onChange={setHatchedOn}
        error={errorOf('hatchedOn')}
        required
      />
      {ageDays >= 0 && (
        <p className="k-readback-line" role="status">
          {formatDate(hatchedOn, language)}. {t('flocks.hatchedRead', { age: ageOf({ ageDays }) })}
        </p>
      )}
      <FlockFields
        birds={typedBirds}
        onBirds={setBirds}
        birdsError={errorOf('birds')}
        laying={laying}
        onLaying={setLays}
        layingError={errorAt('laying')}
        layers={canLay(flockType)}
      />
      {problem && (problem.fields.length === 0 || errorAt('memberId')) && <FailureBar problem={problem} />}
      <Button submit kind="main" wide busy={busy}>
        {t('flocks.add')}
      </Button>
    </form>
  )
}

/** New birds of a member, who is named in the address. */
const FlockCreate = () => {
  const [search] = useSearchParams()
  const { data: member, error, refetch } = useWhole<Member>('members', search.get('memberId') ?? '')
  if (error) return <FailureBar problem={asProblem(error)} doing="load" onTryAgain={() => void refetch()} />
  return member ? <NewFlock member={member} /> : <Loading />
}

export default FlockCreate
