import { lazy } from 'react'
import type { ResourceProps } from 'react-admin'

export const coccidiostats: ResourceProps = { name: 'coccidiostats', list: lazy(() => import('./CoccidiostatList')) }
