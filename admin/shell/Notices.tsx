import { useNotificationContext, useTranslate } from 'react-admin'
import { useStaffWords } from '../i18n/words'
import { Button } from '../ui/Button'
import { CheckShape } from '../ui/CheckShape'

/** What react-admin wants to say stands in the page until it is closed; nothing pops up and vanishes. */
export const Notices = () => {
  const { t } = useStaffWords()
  const translate = useTranslate()
  const { notifications, takeNotification } = useNotificationContext()
  const [first] = notifications
  if (!first) return null
  const words = typeof first.message === 'string' ? translate(first.message, first.notificationOptions?.messageArgs) : first.message
  const bad = first.type === 'error' || first.type === 'warning'
  return (
    <div className={bad ? 'k-failure' : 'k-readback'} role={bad ? 'alert' : 'status'}>
      <CheckShape verdict={bad ? 'block' : 'pass'} />
      <p>{words}</p>
      <Button kind="quiet" onPress={() => void takeNotification()}>
        {t('action.close')}
      </Button>
    </div>
  )
}
