import { useSharedWords } from '../i18n/words'
import { Button } from './Button'
import { CheckShape } from './CheckShape'

/** After a fact is recorded: what stands in the books now, and the way to correct it. */
export const Readback = ({ what, time, onCorrect }: { what: string; time: string; onCorrect?: () => void }) => {
  const { t } = useSharedWords()
  return (
    <div className="k-readback" role="status">
      <CheckShape verdict="pass" />
      <p>{t('ui.recordedAt', { what, time })}</p>
      {onCorrect && <Button onPress={onCorrect}>{t('action.correct')}</Button>}
    </div>
  )
}
