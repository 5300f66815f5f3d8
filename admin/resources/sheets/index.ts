import { lazy } from 'react'
import type { ResourceProps } from 'react-admin'

export const blankSheets: ResourceProps = {
  name: 'blank-sheets',
  list: lazy(() => import('./SheetList')),
  create: lazy(() => import('../../pages/sheet-issue')),
}
