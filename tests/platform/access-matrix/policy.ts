import { ROLES, type Role } from '#contract/access'

const STAFF: readonly Role[] = ROLES.filter((role) => role !== 'member')
const ALL = ROLES
const DRAFTERS: readonly Role[] = ['nutritionist', 'manager']
const RECEIVERS: readonly Role[] = ['store-keeper', 'manager']
const BUYERS: readonly Role[] = ['nutritionist', ...RECEIVERS]
const ANALYSTS: readonly Role[] = ['laboratory', 'manager']
const MIXERS: readonly Role[] = ['mixer-operator', 'manager']
const COUNTER: readonly Role[] = ['counter-clerk', 'manager']
const MEMBERS: readonly Role[] = ['member', ...COUNTER]
const SHEET_WRITERS: readonly Role[] = ['manager', 'store-keeper', 'mixer-operator', 'counter-clerk']
const MANAGER: readonly Role[] = ['manager']

/** Who may do what at the mill, written by hand beside the routes, so that a route that lets in too many or too few shows. */
export const MAY: { readonly [route: string]: readonly Role[] | 'public' } = {
  'POST /session': 'public',
  'GET /session': ALL,
  'DELETE /session': ALL,
  'PATCH /session': ALL,

  'GET /mill': ALL,
  'GET /stages': ALL,
  'GET /home': ALL,

  'GET /ingredients': STAFF,
  'GET /ingredients/{id}': STAFF,
  'GET /sources': STAFF,
  'GET /requirements': STAFF,
  'GET /safety-rules': STAFF,
  'GET /coccidiostats': STAFF,

  'GET /suppliers': STAFF,
  'GET /suppliers/{id}': STAFF,
  'GET /suppliers/{id}/record': STAFF,
  'GET /supplier-ingredients': STAFF,
  'POST /suppliers': RECEIVERS,

  'GET /supplier-offers': BUYERS,
  'GET /supplier-offers/{id}': BUYERS,
  'POST /supplier-offers': RECEIVERS,
  'POST /supplier-offers/{id}/withdraw': RECEIVERS,
  'POST /gate-price': BUYERS,

  'GET /blank-sheets': STAFF,
  'GET /blank-sheets/{id}': STAFF,
  'POST /blank-sheets': SHEET_WRITERS,
  'POST /blank-sheets/{id}/spoil': SHEET_WRITERS,
  'GET /sheet-bundles/{id}': SHEET_WRITERS,
  'GET /sheet-bundles/{id}/sheets.pdf': SHEET_WRITERS,

  'GET /stock-movements': STAFF,
  'POST /stock-movements/{id}/reverse': MANAGER,
  'GET /stock-as-of': STAFF,
  'GET /stock-proposals': STAFF,
  'POST /stock-proposals/{id}/confirm': MANAGER,
  'POST /stock-proposals/{id}/refuse': MANAGER,
  'POST /lots/{id}/count': RECEIVERS,
  'POST /lots/{id}/write-off': RECEIVERS,
  'POST /lots/{id}/return': RECEIVERS,
  'GET /stock-proof': MANAGER,

  'GET /lots': STAFF,
  'GET /lots/{id}': STAFF,
  'POST /lots': RECEIVERS,
  'POST /lots/{id}/correct-receipt': RECEIVERS,
  'POST /lots/made': RECEIVERS,
  'POST /lots/{id}/undo-making': MANAGER,
  'POST /lots/{id}/photos': ['store-keeper', 'laboratory', 'manager'],
  'GET /lot-photos/{id}': STAFF,
  'GET /lots/{id}/papers': STAFF,
  'GET /lots/{id}/stack-card.pdf': STAFF,
  'GET /lots/{id}/sample-label.pdf': STAFF,
  'POST /lots/{id}/release': ANALYSTS,
  'POST /lots/{id}/reject': ANALYSTS,
  'POST /lots/{id}/hold': ANALYSTS,
  'POST /lots/{id}/limit': ANALYSTS,
  'GET /required-tests': STAFF,
  'POST /required-tests': MANAGER,
  'POST /required-tests/{id}/remove': MANAGER,
  'GET /assays': STAFF,
  'POST /lots/{id}/assays': ANALYSTS,
  'GET /samples-due': STAFF,
  'POST /samples': ANALYSTS,
  'GET /lots/{id}/batches': STAFF,
  'GET /late-results': STAFF,
  'POST /assays/import/check': ANALYSTS,
  'POST /assays/import': ANALYSTS,

  'GET /formulas': STAFF,
  'GET /formulas/{id}': STAFF,
  'GET /formula-versions/{id}': STAFF,
  'POST /formulas': DRAFTERS,
  'POST /formulas/{id}/versions': DRAFTERS,
  'PATCH /formula-versions/{id}': DRAFTERS,
  'POST /formula-versions/{id}/submit': DRAFTERS,
  'POST /formula-versions/{id}/approve': DRAFTERS,
  'POST /formula-versions/{id}/withdraw': DRAFTERS,
  'POST /solve': DRAFTERS,
  'POST /solve/explain': DRAFTERS,
  'POST /solve/curve': DRAFTERS,
  'POST /solve/alternatives': DRAFTERS,
  'POST /solve/assay-worth': DRAFTERS,
  'POST /intake': DRAFTERS,

  'GET /members': MEMBERS,
  'GET /members/{id}': MEMBERS,
  'POST /members': COUNTER,
  'GET /flocks': [...MEMBERS, 'nutritionist'],
  'GET /flocks/{id}': [...MEMBERS, 'nutritionist'],
  'POST /flocks': MEMBERS,
  'PATCH /flocks/{id}': MEMBERS,

  'GET /offers': MEMBERS,
  'GET /orders': ALL,
  'GET /orders/{id}': ALL,
  'POST /orders': MEMBERS,
  'POST /orders/{id}/cancel': MEMBERS,
  'GET /orders/{id}/solution': [...COUNTER, 'nutritionist'],
  'POST /orders/{id}/plan': MANAGER,
  'POST /orders/{id}/replan': MANAGER,
  'POST /orders/{id}/cancel-rest': MANAGER,
  'POST /orders/{id}/collect': [...COUNTER, 'store-keeper'],

  'GET /batches': STAFF,
  'GET /batches/{id}': STAFF,
  'GET /batches/{id}/sheet': STAFF,
  'GET /batches/{id}/sheet.pdf': STAFF,
  'POST /batches/{id}/start': MIXERS,
  'POST /batches/{id}/weighings': MIXERS,
  'POST /batches/{id}/finish': MIXERS,
  'POST /batches/{id}/hold': MIXERS,
  'POST /batches/{id}/release-hold': MANAGER,
  'POST /batches/{id}/write-off': MANAGER,

  'GET /trace': ['manager', 'store-keeper', 'laboratory', 'nutritionist', 'counter-clerk'],
  'GET /discrepancies': STAFF,
  'POST /discrepancies/{id}/close': MANAGER,
}

/** Lists in which a member finds only what is theirs, with the field that says whose a row is. */
export const OWN_ROWS = { 'GET /members': 'id', 'GET /flocks': 'memberId', 'GET /orders': 'memberId' } as const
