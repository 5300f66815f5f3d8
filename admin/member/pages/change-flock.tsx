import { useState, type FormEvent } from 'react'
import { useMemberWords } from '../../i18n/words'
import { newKey } from '../../providers/http'
import { usePageTitle } from '../../shell/usePageTitle'
import { Button } from '../../ui/Button'
import { FailureBar } from '../../ui/Failure'
import { laysEggs, readBirds } from '../birdKinds'
import { useDraft } from '../draft'
import { ageWords, asLine, type Flock } from '../model'
import { Answered } from '../parts/Answered'
import { FlockFields } from '../parts/FlockFields'
import { goTo } from '../router'
import { useAnswers } from '../useAnswers'
import { useSend } from '../useSend'

const ChangeForm = ({ flock }: { flock: Flock }) => {
  const { t } = useMemberWords()
  const draft = useDraft(`flock.${flock.id}.${flock.revision}`, () => ({
    name: flock.name,
    birds: String(flock.birds),
    laying: flock.laying,
    key: newKey(),
  }))
  const { send, busy, problem, errorAt } = useSend()
  const [looked, setLooked] = useState(false)
  const { name, birds, laying, key } = draft.value
  const count = readBirds(birds)
  const save = async (event: FormEvent) => {
    event.preventDefault()
    setLooked(true)
    if (busy || count === null) return
    draft.change({})
    const body = { name, birds: count, laying }
    if (!(await send<Flock>({ method: 'PATCH', path: `/flocks/${flock.id}`, body, key, revision: flock.revision }))) return
    draft.drop()
    goTo('/birds')
  }
  return (
    <form className="k-stack" onSubmit={(event) => void save(event)}>
      <p>
        {asLine(t(`member.birds.kinds.${flock.flockType}`))}, {ageWords(flock.ageDays, t)}
      </p>
      <FlockFields
        value={draft.value}
        onChange={draft.change}
        errorAt={errorAt}
        birdsError={looked && count === null ? t('member.birds.wholeBirds') : undefined}
        eggs={laysEggs(flock.flockType)}
      />
      <p className="k-caption">{t('member.birds.fixed')}</p>
      {problem && <FailureBar problem={problem} />}
      <Button submit kind="main" wide busy={busy}>
        {t('member.birds.save')}
      </Button>
      <a className="k-button" href="#/birds">
        {t('action.leave')}
      </a>
    </form>
  )
}

const ChangeFlock = ({ params }: { params: Readonly<Record<string, string>> }) => {
  const { t } = useMemberWords()
  const answers = useAnswers<[Flock]>(`/flocks/${params['id'] ?? ''}`)
  const name = answers.bodies?.[0].name ?? ''
  const title = name === '' ? t('member.birds.change') : t('member.birds.changeTitle', { name })
  usePageTitle(title)
  return (
    <div className="k-page m-page">
      <h1>{title}</h1>
      <Answered answers={answers}>{([flock]) => <ChangeForm key={flock.revision} flock={flock} />}</Answered>
    </div>
  )
}

export default ChangeFlock
