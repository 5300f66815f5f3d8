import { useRef, useState, type ReactNode } from 'react'
import { useSharedWords } from '../i18n/words'
import { useOnline } from './OfflineBar'
import { Icon } from './Shape'
import type { IconName } from './icons'

export type ButtonKind = 'main' | 'plain' | 'danger' | 'quiet'

type ButtonProps = {
  readonly children: ReactNode
  /** A promise keeps the button busy until it settles: two taps do one thing. */
  readonly onPress?: (() => void | Promise<unknown>) | undefined
  readonly kind?: ButtonKind
  readonly icon?: IconName
  readonly submit?: boolean
  readonly busy?: boolean
  readonly wide?: boolean
  readonly label?: string
  readonly pressed?: boolean
  /** The mill must answer at once: without a network the button says so and does nothing. */
  readonly needsNetwork?: boolean
}

export const Button = ({
  children,
  onPress,
  kind = 'plain',
  icon,
  submit = false,
  busy = false,
  wide = false,
  label,
  pressed,
  needsNetwork = false,
}: ButtonProps) => {
  const { t } = useSharedWords()
  const online = useOnline()
  const cut = needsNetwork && !online
  const running = useRef(false)
  const [working, setWorking] = useState(false)
  const press = () => {
    if (running.current || cut || !onPress) return
    const result = onPress()
    if (!(result instanceof Promise)) return
    running.current = true
    setWorking(true)
    const settle = () => {
      running.current = false
      setWorking(false)
    }
    result.then(settle, settle)
  }
  const waiting = busy || working
  return (
    <button
      type={submit ? 'submit' : 'button'}
      className="k-button"
      data-kind={kind}
      data-wide={wide || undefined}
      aria-busy={waiting || undefined}
      disabled={(waiting || cut) && submit}
      aria-disabled={waiting || cut || undefined}
      aria-label={label}
      aria-pressed={pressed}
      onClick={press}
    >
      {icon && <Icon name={icon} size={20} />}
      <span>
        {children}
        {cut && ` (${t('ui.needsNetwork')})`}
      </span>
    </button>
  )
}
