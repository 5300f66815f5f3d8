import { useState, type FormEvent } from 'react'
import { readPhone } from '../format/phones'
import { useMemberWords } from '../i18n/words'
import { asProblem, type Problem } from '../providers/http'
import { Button } from '../ui/Button'
import { FailureBar } from '../ui/Failure'
import { Field, PhoneField } from '../ui/Field'
import { useMemberSession } from './session'

/** Phone number and PIN. */
export const SignIn = () => {
  const { t } = useMemberWords()
  const { enter, hasEnded } = useMemberSession()
  const [phone, setPhone] = useState('')
  const [pin, setPin] = useState('')
  const [problem, setProblem] = useState<Problem>()
  const [busy, setBusy] = useState(false)

  const submit = async (event: FormEvent) => {
    event.preventDefault()
    const reading = readPhone(phone)
    if (busy || reading.kind !== 'phone') return
    setBusy(true)
    try {
      await enter(reading.e164, pin)
    } catch (cause) {
      setProblem(asProblem(cause))
      setBusy(false)
    }
  }
  const wrong = problem?.code === 'wrong-login' ? t('problem.wrong-login') : undefined
  return (
    <form className="k-sign" onSubmit={(event) => void submit(event)}>
      <h1>{t('sign.memberTitle')}</h1>
      {hasEnded && (
        <p className="k-failure" role="alert">
          {t('sign.ended')}
        </p>
      )}
      <p>{t('sign.memberHint')}</p>
      <PhoneField label={t('sign.phone')} value={phone} onChange={setPhone} required />
      <Field
        label={t('sign.pin')}
        value={pin}
        onChange={setPin}
        type="password"
        inputMode="numeric"
        autoComplete="current-password"
        error={wrong}
        required
      />
      {problem && !wrong && <FailureBar problem={problem} doing="load" />}
      <Button submit kind="main" wide busy={busy}>
        {t('sign.in')}
      </Button>
      <p className="k-caption">{t('sign.forgotten')}</p>
      <a href="/">{t('sign.staffHere')}</a>
    </form>
  )
}
