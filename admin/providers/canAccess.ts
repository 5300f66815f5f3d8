import type { Role } from '#contract/access'

const STAFF: readonly Role[] = ['manager', 'nutritionist', 'store-keeper', 'laboratory', 'mixer-operator', 'counter-clerk']

/**
 * Which buttons and pages a role is shown. The mill decides again on every request; this only keeps dead ends off the screen.
 * `read` covers list and show.
 */
const MAY: Readonly<Record<string, Readonly<Record<string, readonly Role[]>>>> = {
  lots: {
    read: STAFF,
    create: ['store-keeper', 'manager'],
    release: ['manager', 'laboratory'],
    reject: ['manager', 'laboratory'],
    change: ['store-keeper', 'manager'],
    photograph: ['store-keeper', 'laboratory', 'manager'],
  },
  assays: { read: STAFF, create: ['laboratory', 'manager'] },
  'required-tests': { read: STAFF, change: ['manager'] },
  ingredients: { read: STAFF },
  suppliers: { read: STAFF, create: ['store-keeper', 'manager'] },
  'supplier-offers': {
    read: ['manager', 'store-keeper', 'nutritionist'],
    create: ['store-keeper', 'manager'],
    withdraw: ['store-keeper', 'manager'],
  },
  'gate-price': { read: ['manager', 'store-keeper', 'nutritionist'] },
  'blank-sheets': { read: STAFF, create: ['manager', 'store-keeper', 'mixer-operator', 'counter-clerk'] },
  requirements: { read: STAFF },
  'safety-rules': { read: STAFF },
  coccidiostats: { read: STAFF },
  sources: { read: STAFF },
  'stock-movements': { read: STAFF, reverse: ['manager'] },
  'stock-proposals': { read: STAFF, decide: ['manager'] },
  'stock-as-of': { read: STAFF },
  'stock-proof': { read: ['manager'] },
  formulas: {
    read: STAFF,
    create: ['nutritionist', 'manager'],
    edit: ['nutritionist', 'manager'],
    submit: ['nutritionist', 'manager'],
    approve: ['manager', 'nutritionist'],
    withdraw: ['manager', 'nutritionist'],
  },
  'formula-versions': { read: STAFF },
  orders: {
    read: STAFF,
    create: ['counter-clerk', 'manager'],
    cancel: ['counter-clerk', 'manager'],
    plan: ['manager'],
    replan: ['manager'],
    'cancel-rest': ['manager'],
    collect: ['counter-clerk', 'store-keeper', 'manager'],
  },
  batches: {
    read: STAFF,
    start: ['mixer-operator', 'manager'],
    weigh: ['mixer-operator', 'manager'],
    finish: ['mixer-operator', 'manager'],
    hold: ['mixer-operator', 'manager'],
    'release-hold': ['manager'],
    'write-off': ['manager'],
  },
  members: { read: ['manager', 'counter-clerk'], create: ['counter-clerk', 'manager'] },
  flocks: { read: ['manager', 'counter-clerk', 'nutritionist'], create: ['counter-clerk', 'manager'], edit: ['counter-clerk', 'manager'] },
  discrepancies: { read: STAFF, close: ['manager'] },
  traces: { read: ['manager', 'store-keeper', 'laboratory', 'nutritionist', 'counter-clerk'] },
}

const own = <T>(table: Readonly<Record<string, T>>, name: string): T | undefined => (Object.hasOwn(table, name) ? table[name] : undefined)

const READING: ReadonlySet<string> = new Set(['list', 'show', 'read', 'export'])

/** May this role be offered this action? Unknown resources and actions are refused. */
export const canAccess = (role: Role, action: string, resource: string): boolean =>
  own(own(MAY, resource) ?? {}, READING.has(action) ? 'read' : action)?.includes(role) ?? false
