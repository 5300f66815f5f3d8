import { birds } from './en/birds'
import { member } from './en/member'
import { shared } from './en/shared'
import { staff } from './en/staff'
import { trade } from './en/trade'

/** What both entries carry. */
export const sharedEn = { ...shared, ...birds } as const
/** What the member's entry carries. */
export const memberEn = { ...sharedEn, member } as const
/** Everything: the type of every language. A new topic is a file in `en/` and `sw/` and one line here and in `sw.ts`. */
export const en = { ...memberEn, ...trade, ...staff } as const
