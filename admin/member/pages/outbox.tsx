import { OutboxPage, type Places } from '../../outbox/OutboxPage'
import { useMemberSession } from '../session'

const PLACES: Places = { order: (id) => `/orders/${id}` }

export const WaitingPage = () => <OutboxPage places={PLACES} />

/** Somebody signs out while entries wait: asked on a page of its own. */
export const LeavePage = () => {
  const { leave } = useMemberSession()
  return <OutboxPage places={PLACES} onSignOut={leave} />
}
