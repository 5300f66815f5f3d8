import { lazy } from 'react'
import type { ResourceProps } from 'react-admin'

export const ingredients: ResourceProps = {
  name: 'ingredients',
  list: lazy(() => import('./IngredientList')),
  show: lazy(() => import('./IngredientShow')),
}
