import { formatTime } from '../format/dates'
import { lastAnswerAt } from '../providers/http'
import { OfflineBar, useOnline } from '../ui/OfflineBar'
import { useOutbox } from './outbox'

const PAGE = '#/outbox'

/** The bar of both entries of the console. */
export const OutboxBar = () => {
  const online = useOnline()
  const { counts, unreached, userId } = useOutbox()
  const offline = !online || (unreached && counts.waiting > 0)
  return (
    <OfflineBar
      offline={offline}
      waiting={counts.waiting}
      sending={offline ? 0 : counts.waiting}
      refused={counts.refused}
      others={counts.others}
      nobody={userId === undefined}
      asOf={formatTime(lastAnswerAt() ?? new Date().toISOString())}
      {...(location.hash.startsWith(PAGE) ? {} : { href: PAGE })}
    />
  )
}
