import { useState, type FormEvent } from 'react'
import { useNavigate, useParams } from 'react-router-dom'
import { useStaffWords, type StaffKey } from '../../i18n/words'
import { useWhole } from '../../providers/useWhole'
import { asProblem, useAct } from '../../shell/useAct'
import { usePageTitle } from '../../shell/usePageTitle'
import { Button } from '../../ui/Button'
import { ErrorCount, FailureBar } from '../../ui/Failure'
import { Field } from '../../ui/Field'
import { Loading } from '../../ui/Waiting'
import type { Flock } from '../members/memberModel'
import { FlockFields, readBirds } from './FlockFields'
import { canLay, useFlockWords } from './flockWords'

const ChangeFlock = ({ flock }: { flock: Flock }) => {
  const { t } = useStaffWords()
  const { ageOf } = useFlockWords()
  const navigate = useNavigate()
  const [name, setName] = useState(flock.name)
  const [typedBirds, setBirds] = useState(String(flock.birds))
  const [laying, setLaying] = useState(flock.laying)
  const [asked, setAsked] = useState(false)
  const { send, busy, problem, errorAt } = useAct()
  const birds = readBirds(typedBirds)
  const title = t('flocks.change', { flock: flock.name, member: flock.memberName })
  usePageTitle(title)
  const nameFault = asked && name.trim() === '' ? t('field.empty') : undefined
  const birdsFault = asked && birds === null ? t('flocks.birdsWhole') : undefined
  const back = () => void navigate(`/members/${flock.memberId}/show`)
  const save = async (event: FormEvent) => {
    event.preventDefault()
    setAsked(true)
    if (busy || birds === null || name.trim() === '') return
    const body = { name: name.trim(), birds, laying }
    const saved = await send<Flock>({ method: 'PATCH', path: `/flocks/${flock.id}`, body, revision: flock.revision })
    if (saved) back()
  }
  const wrong = [...(nameFault ? ['name'] : []), ...(birdsFault ? ['birds'] : [])]
  return (
    <form className="k-page k-narrow" onSubmit={(event) => void save(event)} noValidate>
      <h1>{title}</h1>
      <p>
        {t(`flocks.types.${flock.flockType}`)}, {ageOf(flock)}.{' '}
        {flock.stage ? t('flocks.stage', { stage: t(`stage.${flock.stage}` as StaffKey) }) : t('flocks.noStage')}
      </p>
      <ErrorCount fieldIds={wrong.length > 0 ? wrong : (problem?.fields.map(({ path }) => path) ?? [])} />
      <Field id="name" label={t('flocks.name')} value={name} onChange={setName} error={nameFault ?? errorAt('name')} required />
      <FlockFields
        birds={typedBirds}
        onBirds={setBirds}
        birdsError={birdsFault ?? errorAt('birds')}
        laying={laying}
        onLaying={setLaying}
        layingError={errorAt('laying')}
        layers={canLay(flock.flockType)}
      />
      {problem && problem.fields.length === 0 && <FailureBar problem={problem} />}
      <div className="k-actions">
        <Button onPress={back}>{t('action.back')}</Button>
        <Button submit kind="main" busy={busy}>
          {t('flocks.save')}
        </Button>
      </div>
    </form>
  )
}

/** Birds die, are sold, and begin to lay: these three things of a flock change. */
const FlockEdit = () => {
  const { id = '' } = useParams()
  const { data: flock, error, refetch } = useWhole<Flock>('flocks', id)
  if (error) return <FailureBar problem={asProblem(error)} doing="load" onTryAgain={() => void refetch()} />
  return flock ? <ChangeFlock key={flock.id} flock={flock} /> : <Loading />
}

export default FlockEdit
