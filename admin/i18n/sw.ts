import { faults } from './sw/faults'
import { formulas } from './sw/formulas'
import { lists } from './sw/lists'
import { members } from './sw/members'
import { orders } from './sw/orders'
import type { en } from './en'
import { memberSw } from './sw-member'
import { staff } from './sw/staff'
import { trade } from './sw/trade'
import type { SameKeys } from './translate'

export const sw: SameKeys<typeof en> = { ...memberSw, ...trade, ...staff, ...faults, ...lists, ...formulas, ...orders, ...members }
