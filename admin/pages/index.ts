import { lazy, type ComponentType, type LazyExoticComponent } from 'react'
import type { Role } from '#contract/access'
import Outbox from './outbox'

type Page = LazyExoticComponent<ComponentType> | ComponentType

/** Pages that are not a list or a record of one entity, by path: `'/trace': lazy(() => import('./trace'))`. */
export const PAGES: Readonly<Record<string, Page>> = {
  '/stock-proof': lazy(() => import('./stock-proof')),
  '/count': lazy(() => import('./count')),
  '/lots/:id/correct': lazy(() => import('./correct-receipt')),
  '/lots/:id/papers/:kind': lazy(() => import('./lot-papers')),
  '/lots/:id/count': lazy(() => import('./count-lot')),
  '/lots/:id/write-off': lazy(() => import('./write-off-lot')),
  '/lots/:id/return': lazy(() => import('./return-lot')),
  '/lots/:id/make/:kind': lazy(() => import('./derive-lot')),
  '/lots/:id/undo-making': lazy(() => import('./undo-making')),
  '/stock-movements/:id/reverse': lazy(() => import('../resources/stock-movements/ReverseMovement')),
  '/stock-proposals/:id/decide': lazy(() => import('../resources/stock-proposals/DecideProposal')),
  '/stock-as-of': lazy(() => import('./stock-as-of')),
  '/to-test': lazy(() => import('./to-test')),
  '/import-results': lazy(() => import('./import-results')),
  '/lots/:id/reject': lazy(() => import('./reject-lot')),
  '/lots/:id/release': lazy(() => import('./release-lot')),
  '/lots/:id/record': lazy(() => import('./record-results')),
  '/lots/:id/hold': lazy(() => import('./hold-lot')),
  '/lots/:id/limit': lazy(() => import('./limit-lot')),
  '/record-samples': lazy(() => import('./record-samples')),
  '/required-tests': lazy(() => import('./required-tests')),
  '/blank-sheets/:id/spoil': lazy(() => import('./sheet-spoil')),
  '/sheet-bundles/:id': lazy(() => import('./sheet-bundle')),
  '/enter-sheet': lazy(() => import('./sheet-enter')),
  '/enter-sheet/receiving': lazy(() => import('./sheet-receive')),
  '/enter-sheet/weighing': lazy(() => import('./sheet-weigh')),
  '/enter-sheet/collection': lazy(() => import('./sheet-collect')),
  '/supplier-offers/:id/withdraw': lazy(() => import('./withdraw-offer')),
  '/formula-versions/:id/submit': lazy(() => import('./submit-version')),
  '/formula-versions/:id/approve': lazy(() => import('./approve-version')),
  '/formula-versions/:id/withdraw': lazy(() => import('./withdraw-version')),
  '/orders/:id/plan': lazy(() => import('./plan-order')),
  '/orders/:id/replan': lazy(() => import('./replan-order')),
  '/orders/:id/cancel-rest': lazy(() => import('./cancel-rest')),
  '/orders/:id/cancel': lazy(() => import('./cancel-order')),
  '/plan': lazy(() => import('./plan')),
  '/batches/:id/sheet': lazy(() => import('./batch-sheet')),
  '/batches/:id/paper': lazy(() => import('../resources/batches/PaperSheet')),
  '/batches/:id/hold': lazy(() => import('../resources/batches/HoldBatch')),
  '/batches/:id/write-off': lazy(() => import('../resources/batches/WriteOffBatch')),
  '/batches/:id/release-hold': lazy(() => import('../resources/batches/ReleaseHold')),
  '/discrepancies/:id/close': lazy(() => import('../resources/discrepancies/CloseDiscrepancy')),
  '/gate-price': lazy(() => import('./gate-price')),
  '/hand-over': lazy(() => import('./hand-over')),
  '/trace': lazy(() => import('./trace')),
  '/decide': lazy(() => import('./decide')),
  // comes with the console: it is gone to when there is no network to fetch it
  '/outbox': Outbox,
  '/outbox/leave': Outbox,
  '/problem': lazy(() => import('./problem')),
}

/** The home page of each role; it answers the role's three questions without a click. */
export const HOMES: Readonly<Partial<Record<Role, Page>>> = {
  manager: lazy(() => import('./homes/manager')),
  nutritionist: lazy(() => import('./homes/nutritionist')),
  'store-keeper': lazy(() => import('./homes/store-keeper')),
  laboratory: lazy(() => import('./homes/laboratory')),
  'mixer-operator': lazy(() => import('./homes/mixer-operator')),
  'counter-clerk': lazy(() => import('./homes/counter-clerk')),
}
