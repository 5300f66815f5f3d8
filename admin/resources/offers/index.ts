import { lazy } from 'react'
import type { ResourceProps } from 'react-admin'

export const supplierOffers: ResourceProps = {
  name: 'supplier-offers',
  list: lazy(() => import('./OfferList')),
  show: lazy(() => import('./OfferShow')),
  create: lazy(() => import('./OfferCreate')),
}
