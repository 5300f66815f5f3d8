import { faults } from './en/faults'
import { formulas } from './en/formulas'
import { lists } from './en/lists'
import { members } from './en/members'
import { orders } from './en/orders'
import { memberEn } from './en-member'
import { staff } from './en/staff'
import { trade } from './en/trade'

/** Everything: the type of every language. A new topic is a file in `en/` and `sw/` and one line here and in `sw.ts`. */
export const en = { ...memberEn, ...trade, ...staff, ...faults, ...lists, ...formulas, ...orders, ...members } as const
