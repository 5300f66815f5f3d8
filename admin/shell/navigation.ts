import type { Role } from '#contract/access'
import type { StaffKey } from '../i18n/words'
import type { IconName } from '../ui/icons'

export type NavEntry = { readonly path: string; readonly words: StaffKey; readonly icon: IconName; readonly group?: StaffKey }
type Navigation = { readonly bar: readonly NavEntry[]; readonly more: readonly NavEntry[] }

const entry = (path: string, words: StaffKey, icon: IconName): NavEntry => ({ path, words, icon })

const HAND_OVER = entry('/hand-over', 'nav.handOver', 'handover')
const LOTS = entry('/lots', 'nav.stock', 'stock')
const ORDERS = entry('/orders', 'nav.orders', 'order')
const MEMBERS = entry('/members', 'nav.members', 'people')
const CHECKS = entry('/safety-rules', 'nav.checks', 'checks')
const BATCHES = entry('/batches', 'nav.batches', 'plan')
const TRACE = entry('/trace', 'nav.trace', 'trace')
const RECORDS = entry('/discrepancies', 'nav.records', 'records')
const FORMULAS = entry('/formulas', 'nav.formulas', 'formula')
const MOVEMENTS = entry('/stock-movements', 'ledger.title', 'handover')
const PROOF = entry('/stock-proof', 'ledger.proof', 'checks')
const COUNT = entry('/count', 'nav.count', 'count')
const PROPOSALS = entry('/stock-proposals', 'stockChange.proposals.title', 'decide')
const AS_OF = entry('/stock-as-of', 'stockChange.asOf.title', 'stock')
const BUY = entry('/supplier-offers', 'nav.buy', 'buy')
const GATE = entry('/gate-price', 'gate.nav', 'supplier')
const OUTBOX = entry('/outbox', 'outbox.title', 'waiting')
const SHEETS = entry('/blank-sheets', 'nav.blankSheets', 'print')
const SUPPLIERS = entry('/suppliers', 'nav.suppliers', 'supplier')
const INGREDIENTS = entry('/ingredients', 'nav.ingredients', 'ingredients')
const REQUIREMENTS = entry('/requirements', 'nav.requirements', 'requirements')

/** More pages than a desktop's height has room for stand in groups, one open at a time. */
const group = (words: StaffKey, entries: readonly NavEntry[]): NavEntry[] => entries.map((each) => ({ ...each, group: words }))

/** What each role finds where: at most five on the bar, the rest under "More". */
const BY_ROLE: Readonly<Record<Role, Navigation>> = {
  manager: {
    bar: [entry('/', 'nav.morning', 'light'), entry('/decide', 'nav.decide', 'decide'), entry('/plan', 'nav.plan', 'plan'), LOTS, TRACE],
    more: [
      ...group('nav.groupOrders', [ORDERS, MEMBERS, entry('/money', 'nav.money', 'money')]),
      ...group('nav.groupFeed', [BATCHES, FORMULAS, INGREDIENTS, REQUIREMENTS, CHECKS]),
      ...group('nav.groupBuying', [GATE, BUY, SUPPLIERS, SHEETS, OUTBOX]),
      ...group('nav.groupStore', [COUNT, PROPOSALS, MOVEMENTS, AS_OF, PROOF, RECORDS]),
      entry('/people', 'nav.people', 'person'),
    ],
  },
  nutritionist: {
    bar: [entry('/', 'nav.today', 'today'), FORMULAS, INGREDIENTS, REQUIREMENTS, CHECKS],
    more: [{ ...LOTS, words: 'nav.lots', icon: 'lots' }, BUY, GATE, ORDERS, TRACE],
  },
  'store-keeper': {
    bar: [entry('/', 'nav.today', 'today'), entry('/lots/create', 'nav.receive', 'receive'), HAND_OVER, LOTS, COUNT],
    more: [GATE, BUY, SUPPLIERS, PROPOSALS, MOVEMENTS, AS_OF, BATCHES, TRACE, OUTBOX, SHEETS],
  },
  laboratory: {
    bar: [entry('/', 'nav.toTest', 'test'), entry('/assays', 'nav.results', 'results'), { ...LOTS, words: 'nav.lots', icon: 'lots' }],
    more: [INGREDIENTS, CHECKS, TRACE, OUTBOX],
  },
  'mixer-operator': {
    bar: [entry('/', 'nav.now', 'now'), entry('/batches', 'nav.today', 'today'), entry('/problem', 'nav.problem', 'problem')],
    more: [SHEETS],
  },
  'counter-clerk': {
    bar: [entry('/', 'nav.today', 'today'), entry('/orders/create', 'nav.counter', 'order'), HAND_OVER, ORDERS, MEMBERS],
    more: [TRACE, OUTBOX, SHEETS],
  },
  member: { bar: [], more: [] },
}

/** Only pages that exist are offered. */
export const navigationFor = (role: Role, exists: (path: string) => boolean): Navigation => ({
  bar: BY_ROLE[role].bar.filter(({ path }) => exists(path)),
  more: BY_ROLE[role].more.filter(({ path }) => exists(path)),
})
