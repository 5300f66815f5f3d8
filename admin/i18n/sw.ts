import type { en, memberEn, sharedEn } from './en'
import { birds } from './sw/birds'
import { member } from './sw/member'
import { shared } from './sw/shared'
import { staff } from './sw/staff'
import { trade } from './sw/trade'
import type { SameKeys } from './translate'

export const sharedSw: SameKeys<typeof sharedEn> = { ...shared, ...birds }
export const memberSw: SameKeys<typeof memberEn> = { ...sharedSw, member }
export const sw: SameKeys<typeof en> = { ...memberSw, ...trade, ...staff }
