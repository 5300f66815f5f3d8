import type { memberEn, sharedEn } from './en-member'
import { birds } from './sw/birds'
import { faults } from './sw/faults'
import { findings } from './sw/findings'
import { member } from './sw/member'
import { outbox } from './sw/outbox'
import { shared } from './sw/shared'
import type { SameKeys } from './translate'

export const sharedSw: SameKeys<typeof sharedEn> = { ...shared, ...birds, ...findings, ...faults, ...outbox }
export const memberSw: SameKeys<typeof memberEn> = { ...sharedSw, member }
