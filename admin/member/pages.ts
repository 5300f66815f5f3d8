import type { ComponentType } from 'react'
import Account from './pages/account'
import Birds from './pages/birds'
import CancelOrder from './pages/cancel-order'
import ChangeFlock from './pages/change-flock'
import Home from './pages/home'
import NewFlock from './pages/new-flock'
import { LeavePage, WaitingPage } from './pages/outbox'
import { OrderPage, ReceiptPage } from './pages/one-order'
import PlaceOrder from './pages/order'
import Orders from './pages/orders'

export type MemberPage = ComponentType<{ params: Readonly<Record<string, string>> }>

/**
 * The member's pages by path pattern, the first that fits. They come with the entry, not one by one: all of them are smaller than one
 * font, and a page that is asked for later may meet a network that has gone.
 */
export const MEMBER_PAGES: Readonly<Record<string, MemberPage>> = {
  '/': Home,
  '/order': PlaceOrder,
  '/order/:flockId': PlaceOrder,
  '/orders': Orders,
  '/orders/:id': OrderPage,
  '/orders/:id/received': ReceiptPage,
  '/orders/:id/cancel': CancelOrder,
  '/birds': Birds,
  '/birds/new': NewFlock,
  '/birds/:id': ChangeFlock,
  '/account': Account,
  '/outbox': WaitingPage,
  '/outbox/leave': LeavePage,
}
