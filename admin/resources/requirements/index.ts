import { lazy } from 'react'
import type { ResourceProps } from 'react-admin'

export const requirements: ResourceProps = { name: 'requirements', list: lazy(() => import('./RequirementList')) }
