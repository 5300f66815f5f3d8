import { useState, type FormEvent } from 'react'
import { isoDay } from '../../format/dates'
import { useMemberWords } from '../../i18n/words'
import { newKey } from '../../providers/http'
import { usePageTitle } from '../../shell/usePageTitle'
import { Button } from '../../ui/Button'
import { FailureBar } from '../../ui/Failure'
import { Field, SelectField } from '../../ui/Field'
import { BIRD_KINDS, birdKindOf, laysEggs, readBirds } from '../birdKinds'
import { useDraft } from '../draft'
import { ageWords, type Flock } from '../model'
import { FlockFields } from '../parts/FlockFields'
import { goTo } from '../router'
import { useSend } from '../useSend'

const DAY_MS = 86_400_000

const emptyForm = () => ({ name: '', kind: '', hatchedOn: '', birds: '', laying: false, key: newKey() })

/** Days of age on today's date of the mill; null for a day that is not there yet or no day at all. */
const ageOf = (hatchedOn: string): number | null => {
  const days = Math.round((Date.parse(isoDay(new Date().toISOString())) - Date.parse(hatchedOn)) / DAY_MS)
  return Number.isFinite(days) && days >= 0 ? days : null
}

/** Kind, hatch date and number: from these the mill knows which feed suits the birds. */
const NewFlock = () => {
  const { t } = useMemberWords()
  const draft = useDraft('flock.new', emptyForm)
  const { send, busy, problem, errorAt } = useSend()
  const [looked, setLooked] = useState(false)
  usePageTitle(t('member.birds.add'))
  const { name, hatchedOn, birds, laying, key } = draft.value
  const kind = birdKindOf(draft.value.kind)
  const count = readBirds(birds)
  const age = ageOf(hatchedOn)
  const save = async (event: FormEvent) => {
    event.preventDefault()
    setLooked(true)
    if (busy || count === null || kind === undefined) return
    draft.change({})
    const body = { name, flockType: kind, hatchedOn, birds: count, laying: laying && laysEggs(kind) }
    if (!(await send<Flock>({ method: 'POST', path: '/flocks', body, key }))) return
    draft.drop()
    goTo('/birds')
  }
  return (
    <form className="k-page m-page" onSubmit={(event) => void save(event)}>
      <h1>{t('member.birds.add')}</h1>
      <SelectField
        label={t('member.birds.kind')}
        value={draft.value.kind}
        onChange={(next) => draft.change({ kind: next })}
        choices={BIRD_KINDS.map((value) => ({ value, label: t(`member.birds.kinds.${value}`) }))}
        error={errorAt('flockType')}
        required
      />
      <div>
        <Field
          label={t('member.birds.hatched')}
          type="date"
          value={hatchedOn}
          onChange={(next) => draft.change({ hatchedOn: next })}
          error={errorAt('hatchedOn')}
          required
        />
        {age !== null && <p className="k-readback-line">{t('member.birds.hatchedRead', { age: ageWords(age, t) })}</p>}
      </div>
      <FlockFields
        value={draft.value}
        onChange={draft.change}
        errorAt={errorAt}
        birdsError={looked && count === null ? t('member.birds.wholeBirds') : undefined}
        eggs={laysEggs(kind)}
      />
      {problem && <FailureBar problem={problem} />}
      <Button submit kind="main" wide busy={busy}>
        {t('member.birds.addThese')}
      </Button>
      <a className="k-button" href="#/birds">
        {t('action.leave')}
      </a>
    </form>
  )
}

export default NewFlock
