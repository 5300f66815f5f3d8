import { lazy } from 'react'
import type { ResourceProps } from 'react-admin'

export const flocks: ResourceProps = {
  name: 'flocks',
  create: lazy(() => import('./FlockCreate')),
  edit: lazy(() => import('./FlockEdit')),
}
