import { useState, type FormEvent } from 'react'
import { useLogin } from 'react-admin'
import { useStaffWords } from '../i18n/words'
import { OutboxBar } from '../outbox/OutboxBar'
import { Problem } from '../providers/http'
import { Button } from '../ui/Button'
import { FailureBar } from '../ui/Failure'
import { Field } from '../ui/Field'
import { Frame } from '../ui/Frame'
import { LanguageSwitch, ThemeSwitch } from '../ui/HeaderTools'
import { takeLanguage, useConsoleLanguage, WithWords } from './WithWords'
import { usePageTitle } from './usePageTitle'

const SignInForm = () => {
  const { t } = useStaffWords()
  const login = useLogin()
  const [name, setName] = useState('')
  const [password, setPassword] = useState('')
  const [problem, setProblem] = useState<Problem>()
  const [busy, setBusy] = useState(false)
  usePageTitle(t('sign.in'))

  const submit = async (event: FormEvent) => {
    event.preventDefault()
    if (busy) return
    setBusy(true)
    try {
      await login({ login: name.trim(), password })
      takeLanguage()
    } catch (cause) {
      setProblem(cause instanceof Problem ? cause : new Problem('internal', 0, undefined, [], cause))
    } finally {
      setBusy(false)
    }
  }
  const wrong = problem?.code === 'wrong-login' || problem?.code === 'bad-input' ? t('problem.wrong-login') : undefined
  return (
    <form className="k-sign" onSubmit={(event) => void submit(event)}>
      <h1>{t('sign.staffTitle')}</h1>
      <Field label={t('sign.login')} value={name} onChange={setName} autoComplete="username" required />
      <Field
        label={t('sign.password')}
        value={password}
        onChange={setPassword}
        type="password"
        autoComplete="current-password"
        error={wrong}
        required
      />
      {problem && !wrong && <FailureBar problem={problem} doing="load" />}
      <Button submit kind="main" wide busy={busy}>
        {t('sign.in')}
      </Button>
      <a href="/member/">{t('sign.membersHere')}</a>
    </form>
  )
}

const Page = () => {
  const [, changeLanguage] = useConsoleLanguage()
  return (
    <Frame
      home="#/"
      bar={[]}
      notice={<OutboxBar />}
      tools={
        <>
          <LanguageSwitch onChange={changeLanguage} />
          <ThemeSwitch />
        </>
      }
    >
      <SignInForm />
    </Frame>
  )
}

export const SignIn = () => (
  <WithWords>
    <Page />
  </WithWords>
)
