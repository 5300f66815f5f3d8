import { lazy } from 'react'
import type { ResourceProps } from 'react-admin'

const VersionPage = lazy(() => import('./VersionPage'))

export const formulaVersions: ResourceProps = { name: 'formula-versions', show: VersionPage, edit: VersionPage }
