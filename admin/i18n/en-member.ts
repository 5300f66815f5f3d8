import { birds } from './en/birds'
import { member } from './en/member'
import { shared } from './en/shared'

/** What both entries carry. */
export const sharedEn = { ...shared, ...birds } as const
/** What the member's entry carries; a file of its own so that the trade's and the staff's words stay out of that bundle. */
export const memberEn = { ...sharedEn, member } as const
