import { useEffect, useRef, useState, type FormEvent, type ReactNode } from 'react'
import { useSharedWords } from '../i18n/words'
import type { Problem } from '../providers/http'
import { Button } from './Button'
import { FailureBar } from './Failure'
import { Field } from './Field'

type EffectPageProps = {
  readonly title: string
  /** The effect in numbers: "Freezes 3 batches, 31 members, 1,240 kg". */
  readonly effect: ReactNode
  /** Names what happens: "Freeze and call back". */
  readonly confirmLabel: string
  readonly danger?: boolean
  readonly onConfirm: (signed: { password: string; typed: string; reason: string }) => Promise<unknown>
  readonly onCancel: () => void
  readonly password?: boolean
  /** A recall asks for the lot's number. */
  readonly typeToConfirm?: string
  /** Asks for a reason under this label. */
  readonly reasonLabel?: string
  readonly problem?: Problem | undefined
  readonly passwordError?: string | undefined
  readonly children?: ReactNode
}

/** What reaches others or cannot be taken back is confirmed on a page of its own. The focus starts on the title, not on a button. */
export const EffectPage = (props: EffectPageProps) => {
  const { t } = useSharedWords()
  const heading = useRef<HTMLHeadingElement>(null)
  const [password, setPassword] = useState('')
  const [typed, setTyped] = useState('')
  const [reason, setReason] = useState('')
  const [busy, setBusy] = useState(false)
  useEffect(() => heading.current?.focus(), [])

  const unsigned =
    (props.password && password === '') ||
    (props.typeToConfirm !== undefined && typed.trim() !== props.typeToConfirm) ||
    (props.reasonLabel !== undefined && reason.trim() === '')
  const confirm = (event: FormEvent) => {
    event.preventDefault()
    if (busy || unsigned) return
    setBusy(true)
    const settle = () => setBusy(false)
    props.onConfirm({ password, typed: typed.trim(), reason: reason.trim() }).then(settle, settle)
  }
  return (
    <form className="k-effect k-stack" onSubmit={confirm}>
      <h1 tabIndex={-1} ref={heading}>
        {props.title}
      </h1>
      <div className="k-effect-numbers">{props.effect}</div>
      {props.children}
      {props.reasonLabel && <Field label={props.reasonLabel} value={reason} onChange={setReason} rows={2} required />}
      {props.typeToConfirm && (
        <Field label={t('ui.typeToConfirm', { text: props.typeToConfirm })} value={typed} onChange={setTyped} autoComplete="off" required />
      )}
      {props.password && (
        <Field
          label={t('ui.passwordToConfirm')}
          type="password"
          autoComplete="current-password"
          value={password}
          onChange={setPassword}
          error={props.passwordError}
          required
        />
      )}
      {props.problem && <FailureBar problem={props.problem} />}
      <div className="k-actions">
        <Button onPress={props.onCancel}>{t('action.back')}</Button>
        <Button submit kind={props.danger ? 'danger' : 'main'} busy={busy} needsNetwork>
          {props.confirmLabel}
        </Button>
      </div>
    </form>
  )
}
