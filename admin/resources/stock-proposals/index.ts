import { lazy } from 'react'
import type { ResourceProps } from 'react-admin'

export const stockProposals: ResourceProps = { name: 'stock-proposals', list: lazy(() => import('./ProposalList')) }
