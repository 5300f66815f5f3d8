import { lazy } from 'react'
import type { ResourceProps } from 'react-admin'

export const safetyRules: ResourceProps = { name: 'safety-rules', list: lazy(() => import('./SafetyRuleList')) }
