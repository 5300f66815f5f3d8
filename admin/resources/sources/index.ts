import { lazy } from 'react'
import type { ResourceProps } from 'react-admin'

export const sources: ResourceProps = { name: 'sources', list: lazy(() => import('./SourceList')) }
