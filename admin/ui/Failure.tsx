import type { ReactNode } from 'react'
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

/** "This was not saved", why, [Try again], and the request number in small type. Stands in the page; never a passing note. */
export const FailureBar = ({ problem, doing = 'save', onTryAgain }: FailureBarProps) => {
  const { t } = useSharedWords()
  return (
    <div className="k-failure" role="alert">
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

/** On top of a form: how many fields need a look; a tap goes to the first. */
export const ErrorCount = ({ fieldIds }: { fieldIds: readonly string[] }) => {
  const { t } = useSharedWords()
  const [first] = fieldIds
  if (first === undefined) return null
  return (
    <div className="k-failure" role="alert">
      <CheckShape verdict="block" />
      <Button kind="quiet" onPress={() => goToField(document.getElementById(first))}>
        {t('ui.errorsOnTop', { smart_count: fieldIds.length })}
      </Button>
    </div>
  )
}
