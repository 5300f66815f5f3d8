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
    assay: ['laboratory', 'manager'],
    release: ['manager', 'store-keeper'],
    reject: ['manager'],
    hold: ['manager', 'store-keeper', 'laboratory'],
  },
  assays: { read: STAFF, create: ['laboratory'] },
  ingredients: { read: STAFF },
  suppliers: { read: STAFF, create: ['store-keeper', 'manager'] },
  requirements: { read: STAFF },
  'safety-rules': { read: STAFF },
  formulas: {
    read: STAFF,
    create: ['nutritionist', 'manager'],
    edit: ['nutritionist', 'manager'],
    submit: ['nutritionist', 'manager'],
    approve: ['manager', 'nutritionist'],
    withdraw: ['manager', 'nutritionist'],
  },
  orders: {
    read: STAFF,
    create: ['counter-clerk', 'manager'],
    cancel: ['counter-clerk', 'manager'],
    plan: ['manager'],
    'hand-over': ['counter-clerk', 'store-keeper', 'manager'],
  },
  batches: { read: STAFF, create: ['manager'], weigh: ['mixer-operator', 'manager'], print: ['manager', 'mixer-operator', 'store-keeper'] },
  members: { read: ['manager', 'counter-clerk'], create: ['counter-clerk', 'manager'], edit: ['counter-clerk', 'manager'] },
  flocks: { read: ['manager', 'counter-clerk', 'nutritionist'], create: ['counter-clerk', 'manager'], edit: ['counter-clerk', 'manager'] },
  discrepancies: { read: STAFF, close: ['manager'] },
  traces: { read: STAFF },
}

const READING: ReadonlySet<string> = new Set(['list', 'show', 'read', 'export'])

/** May this role be offered this action? Unknown resources and actions are refused. */
export const canAccess = (role: Role, action: string, resource: string): boolean =>
  MAY[resource]?.[READING.has(action) ? 'read' : action]?.includes(role) ?? false
