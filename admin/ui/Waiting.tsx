import { useEffect, useState, type ReactNode } from 'react'
import { useSharedWords } from '../i18n/words'
import { Button } from './Button'

/** Grey rows wait so that a quick answer never flickers; the sentence comes when a person would begin to doubt. */
const GREY_ROWS_AFTER_MS = 300
const SENTENCE_AFTER_MS = 5000

const useAfter = (delayMs: number): boolean => {
  const [passed, setPassed] = useState(false)
  useEffect(() => {
    const timer = setTimeout(() => setPassed(true), delayMs)
    return () => clearTimeout(timer)
  }, [delayMs])
  return passed
}

export const Loading = ({ rows = 3, onCancel }: { rows?: number; onCancel?: () => void }) => {
  const { t } = useSharedWords()
  const grey = useAfter(GREY_ROWS_AFTER_MS)
  const slow = useAfter(SENTENCE_AFTER_MS)
  return (
    <div className="k-loading" role="status" aria-label={t('ui.loading')}>
      {grey && Array.from({ length: rows }, (_, row) => <div key={row} className="k-grey-row" aria-hidden />)}
      {slow && (
        <p className="k-row">
          {t('ui.loadingSlow')} {onCancel && <Button onPress={onCancel}>{t('ui.cancel')}</Button>}
        </p>
      )}
    </div>
  )
}

/** A slow calculation: what is being done, elapsed seconds, and a way to stop it. */
export const Working = ({ what, onStop }: { what: string; onStop: () => void }) => {
  const { t } = useSharedWords()
  const [seconds, setSeconds] = useState(0)
  useEffect(() => {
    const timer = setInterval(() => setSeconds((before) => before + 1), 1000)
    return () => clearInterval(timer)
  }, [])
  return (
    <p className="k-row k-working" role="status">
      {what} <span className="k-tabular">{t('ui.working', { smart_count: seconds })}</span>{' '}
      <Button onPress={onStop}>{t('action.stop')}</Button>
    </p>
  )
}

/** Says what would stand here and the one thing to do. */
export const Empty = ({ children, action }: { children: ReactNode; action?: ReactNode }) => (
  <div className="k-empty">
    <p>{children}</p>
    {action}
  </div>
)
