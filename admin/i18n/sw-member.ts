import type { memberEn, sharedEn } from './en-member'
import { birds } from './sw/birds'
import { member } from './sw/member'
import { shared } from './sw/shared'
import type { SameKeys } from './translate'

export const sharedSw: SameKeys<typeof sharedEn> = { ...shared, ...birds }
export const memberSw: SameKeys<typeof memberEn> = { ...sharedSw, member }
