import { lazy } from 'react'
import type { ResourceProps } from 'react-admin'

export const suppliers: ResourceProps = {
  name: 'suppliers',
  list: lazy(() => import('./SupplierList')),
  show: lazy(() => import('./SupplierShow')),
  create: lazy(() => import('./SupplierCreate')),
}
