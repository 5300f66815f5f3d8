import { lazy } from 'react'
import type { ResourceProps } from 'react-admin'

export const orders: ResourceProps = {
  name: 'orders',
  list: lazy(() => import('./OrderList')),
  show: lazy(() => import('./OrderShow')),
  create: lazy(() => import('./CounterOrder')),
}
