import type { ResourceProps } from 'react-admin'
import { formulaVersions } from './formula-versions'
import { formulas } from './formulas'

/**
 * The lists and records of the console, in no order. Each lives in `resources/<entity>/index.ts`, which exports its
 * `ResourceProps` with lazily loaded views, and is named here once:
 *
 *   import { lots } from './lots'
 *   export const RESOURCES = [lots, ...]
 */
export const RESOURCES: readonly ResourceProps[] = [formulas, formulaVersions]
