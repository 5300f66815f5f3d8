import { lazy } from 'react'
import type { ResourceProps } from 'react-admin'

export const lots: ResourceProps = {
  name: 'lots',
  list: lazy(() => import('./LotList')),
  show: lazy(() => import('./LotShow')),
  create: lazy(() => import('./LotReceive')),
}
