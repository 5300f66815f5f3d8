import { lazy } from 'react'
import type { ResourceProps } from 'react-admin'

export const assays: ResourceProps = { name: 'assays', list: lazy(() => import('./AssayList')) }
