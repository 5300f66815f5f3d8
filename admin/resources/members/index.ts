import { lazy } from 'react'
import type { ResourceProps } from 'react-admin'

export const members: ResourceProps = {
  name: 'members',
  list: lazy(() => import('./MemberList')),
  show: lazy(() => import('./MemberShow')),
  create: lazy(() => import('./MemberCreate')),
}
