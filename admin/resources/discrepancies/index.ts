import { lazy } from 'react'
import type { ResourceProps } from 'react-admin'

export const discrepancies: ResourceProps = {
  name: 'discrepancies',
  list: lazy(() => import('./DiscrepancyList')),
  recordRepresentation: 'number',
}
