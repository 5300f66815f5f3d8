import type { en } from './en'
import { memberSw } from './sw-member'
import { staff } from './sw/staff'
import { trade } from './sw/trade'
import type { SameKeys } from './translate'

export const sw: SameKeys<typeof en> = { ...memberSw, ...trade, ...staff }
