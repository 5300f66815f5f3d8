import { useLogout } from 'react-admin'
import { useLocation } from 'react-router-dom'
import { OutboxPage, type Places } from '../outbox/OutboxPage'

const PLACES: Places = {
  receive: (id) => `/lots/${id}/show`,
  order: (id) => `/orders/${id}/show`,
  'hand-over': (id) => `/orders/${id}/show`,
}

/** The staff's entries on this phone; at `/outbox/leave` somebody signs out while some wait, and is asked first. */
const Outbox = () => {
  const logout = useLogout()
  const { pathname } = useLocation()
  return <OutboxPage places={PLACES} onSignOut={pathname.endsWith('/leave') ? () => logout() : undefined} />
}

export default Outbox
