import type { ResourceProps } from 'react-admin'
import { flocks } from './flocks'
import { members } from './members'
import { orders } from './orders'
import { stockMovements } from './stock-movements'
import { stockProposals } from './stock-proposals'
import { sources } from './sources'
import { coccidiostats } from './coccidiostats'
import { safetyRules } from './safety-rules'
import { requirements } from './requirements'
import { supplierOffers } from './offers'
import { blankSheets } from './sheets'
import { suppliers } from './suppliers'
import { ingredients } from './ingredients'
import { lots } from './lots'
import { assays } from './assays'
import { discrepancies } from './discrepancies'
import { batches } from './batches'
import { formulaVersions } from './formula-versions'
import { formulas } from './formulas'

/**
 * The lists and records of the console, in no order. Each lives in `resources/<entity>/index.ts`, which exports its
 * `ResourceProps` with lazily loaded views, and is named here once:
 *
 *   import { lots } from './lots'
 *   export const RESOURCES = [lots, ...]
 */
export const RESOURCES: readonly ResourceProps[] = [
  stockMovements,
  stockProposals,
  sources,
  coccidiostats,
  safetyRules,
  requirements,
  suppliers,
  supplierOffers,
  blankSheets,
  ingredients,
  lots,
  assays,
  discrepancies,
  batches,
  formulas,
  formulaVersions,
  orders,
  members,
  flocks,
]
