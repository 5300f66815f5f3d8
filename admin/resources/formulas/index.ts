import { lazy } from 'react'
import type { ResourceProps } from 'react-admin'

export const formulas: ResourceProps = {
  name: 'formulas',
  list: lazy(() => import('./FormulaList')),
  show: lazy(() => import('./FormulaShow')),
  create: lazy(() => import('./FormulaCreate')),
}
