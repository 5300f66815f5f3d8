import { lazy } from 'react'
import type { ResourceProps } from 'react-admin'

export const stockMovements: ResourceProps = { name: 'stock-movements', list: lazy(() => import('./MovementList')) }
