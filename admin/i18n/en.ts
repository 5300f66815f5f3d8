import { homes } from './en/homes'
import { tracing } from './en/tracing'
import { handingOver } from './en/handing-over'
import { loads } from './en/loads'
import { shelf } from './en/shelf'
import { lots } from './en/lots'
import { receiving } from './en/receiving'
import { gate } from './en/gate'
import { ledger } from './en/ledger'
import { derived } from './en/derived'
import { stockChanges } from './en/stock-changes'
import { laboratory } from './en/laboratory'
import { explain } from './en/explain'
import { formulas } from './en/formulas'
import { lists } from './en/lists'
import { members } from './en/members'
import { offers } from './en/offers'
import { orders } from './en/orders'
import { sheets } from './en/sheets'
import { memberEn } from './en-member'
import { staff } from './en/staff'
import { trade } from './en/trade'

/** Everything: the type of every language. A new topic is a file in `en/` and `sw/` and one line here and in `sw.ts`. */
export const en = {
  ...memberEn,
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
} as const
