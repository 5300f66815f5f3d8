import { memberEn } from './en-member'
import { staff } from './en/staff'
import { trade } from './en/trade'

/** Everything: the type of every language. A new topic is a file in `en/` and `sw/` and one line here and in `sw.ts`. */
export const en = { ...memberEn, ...trade, ...staff } as const
