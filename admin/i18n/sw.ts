import { homes } from './sw/homes'
import { tracing } from './sw/tracing'
import { handingOver } from './sw/handing-over'
import { loads } from './sw/loads'
import { shelf } from './sw/shelf'
import { lots } from './sw/lots'
import { receiving } from './sw/receiving'
import { gate } from './sw/gate'
import { ledger } from './sw/ledger'
import { derived } from './sw/derived'
import { stockChanges } from './sw/stock-changes'
import { laboratory } from './sw/laboratory'
import { explain } from './sw/explain'
import { formulas } from './sw/formulas'
import { lists } from './sw/lists'
import { members } from './sw/members'
import { offers } from './sw/offers'
import { orders } from './sw/orders'
import { sheets } from './sw/sheets'
import type { en } from './en'
import { memberSw } from './sw-member'
import { staff } from './sw/staff'
import { trade } from './sw/trade'
import type { SameKeys } from './translate'

export const sw: SameKeys<typeof en> = {
  ...memberSw,
  ...trade,
  ...staff,
  ...lists,
  ...shelf,
  ...lots,
  ...receiving,
  ...gate,
  ...ledger,
  ...stockChanges,
  ...derived,
  ...laboratory,
  ...formulas,
  ...explain,
  ...offers,
  ...orders,
  ...sheets,
  ...members,
  ...loads,
  ...handingOver,
  ...tracing,
  ...homes,
}
