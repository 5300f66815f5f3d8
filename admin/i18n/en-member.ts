import { birds } from './en/birds'
import { faults } from './en/faults'
import { findings } from './en/findings'
import { member } from './en/member'
import { outbox } from './en/outbox'
import { shared } from './en/shared'

/** What both entries carry. */
export const sharedEn = { ...shared, ...birds, ...findings, ...faults, ...outbox } as const
/** What the member's entry carries; a file of its own so that the trade's and the staff's words stay out of that bundle. */
export const memberEn = { ...sharedEn, member } as const
