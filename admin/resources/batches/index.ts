import { lazy } from 'react'
import type { ResourceProps } from 'react-admin'

export const batches: ResourceProps = {
  name: 'batches',
  list: lazy(() => import('./BatchList')),
  show: lazy(() => import('./BatchShow')),
  recordRepresentation: 'number',
}
