import { useEffect, useRef, type ReactNode } from 'react'
import { useSharedWords, type SharedKey } from '../i18n/words'
import type { Problem } from '../providers/http'
import { Button } from './Button'
import { CheckShape } from './CheckShape'

type FailureBarProps = {
  readonly problem: Problem
  /** Reading or writing: decides the first sentence. */
  readonly doing?: 'save' | 'load'
  readonly onTryAgain?: (() => void | Promise<unknown>) | undefined
}

/** What stands on top of a long form is far from the button at the bottom of a phone: who pressed is led to it. */
const lookAt = (place: HTMLElement | null): void => place?.scrollIntoView({ block: 'center' })

/** "This was not saved", why, [Try again], and the request number in small type. Stands in the page; never a passing note. */
export const FailureBar = ({ problem, doing = 'save', onTryAgain }: FailureBarProps) => {
  const { t } = useSharedWords()
  const place = useRef<HTMLDivElement>(null)
  useEffect(() => {
    if (doing === 'save') lookAt(place.current)
  }, [doing, problem])
  return (
    <div className="k-failure" role="alert" ref={place}>
      <CheckShape verdict="block" />
      <div>
        <p className="k-strong">{t(doing === 'save' ? 'ui.notSaved' : 'ui.notLoaded')}</p>
        <p>{t(`problem.${problem.code}` as SharedKey)}</p>
        {problem.requestId && <p className="k-caption">{t('ui.requestNumber', { id: problem.requestId })}</p>}
      </div>
      {onTryAgain && <Button onPress={onTryAgain}>{t('action.tryAgain')}</Button>}
    </div>
  )
}

/** What is wrong with one field, in words, beside it. */
export const FieldError = ({ id, children }: { id: string; children: ReactNode }) => (
  <p className="k-field-error" id={id}>
    <CheckShape verdict="block" size={20} /> <span>{children}</span>
  </p>
)

/** Goes to a field, opening the parts that are folded away around it: what is hidden takes no focus. */
export function goToField(field: HTMLElement | null): void {
  for (let fold = field?.closest('details'); fold; fold = fold.parentElement?.closest('details')) fold.open = true
  field?.focus()
}

/** The place to be led to after a press, now or when the mill has answered; never while somebody types. */
const useLookAfterPress = (isWrong: boolean) => {
  const place = useRef<HTMLDivElement>(null)
  const pressed = useRef(false)
  useEffect(() => {
    const onPress = () => {
      pressed.current = true
      requestAnimationFrame(() => lookAt(place.current))
    }
    const onType = () => {
      pressed.current = false
    }
    addEventListener('submit', onPress)
    addEventListener('input', onType)
    return () => {
      removeEventListener('submit', onPress)
      removeEventListener('input', onType)
    }
  }, [])
  useEffect(() => {
    if (isWrong && pressed.current) lookAt(place.current)
  }, [isWrong])
  return place
}

/** On top of a form: how many fields need a look; a tap goes to the first. */
export const ErrorCount = ({ fieldIds }: { fieldIds: readonly string[] }) => {
  const { t } = useSharedWords()
  const [first] = fieldIds
  const place = useLookAfterPress(first !== undefined)
  if (first === undefined) return null
  return (
    <div className="k-failure" role="alert" ref={place}>
      <CheckShape verdict="block" />
      <Button kind="quiet" onPress={() => goToField(document.getElementById(first))}>
        {t('ui.errorsOnTop', { smart_count: fieldIds.length })}
      </Button>
    </div>
  )
}
