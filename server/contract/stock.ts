import { z } from 'zod'
import { listQuery, words } from './lists.js'
import { Instant, KgOrZeroString, KgString, KgView, RequiredText } from './quantities.js'

export const MovementListQuery = listQuery(
  ['enteredAt', 'happenedAt'],
  { lotId: z.uuid().optional(), orderId: z.uuid().optional(), batchId: z.uuid().optional() },
  'desc',
)
export const MovementView = z
  .object({
    id: z.uuid(),
    kind: z.string(),
    happenedAt: Instant,
    enteredAt: Instant,
    actor: z.string(),
    reason: z.string(),
    orderNumber: z.number().int().nullable(),
    batchNumber: z.number().int().nullable(),
    /** What it takes back, when it is a correction, and whether it was taken back itself. */
    reversesId: z.uuid().nullable(),
    reversed: z.boolean(),
    mayReverse: z.boolean(),
    entries: z.array(
      z.object({
        account: z.string(),
        lotNumber: z.number().int().nullable(),
        batchNumber: z.number().int().nullable(),
        whose: z.string().nullable(),
        kg: KgView,
      }),
    ),
  })
  .meta({ id: 'StockMovement' })

const Reason = RequiredText(500)
/** When it was counted or happened; null for now. */
const When = Instant.nullable().default(null)

export const CountLotBody = z.strictObject({ countedKg: KgOrZeroString, countedAt: When, reason: Reason })
export const WriteOffLotBody = z.strictObject({ kg: KgString, happenedAt: When, reason: Reason })
export const ReturnLotBody = z.strictObject({ kg: KgString, happenedAt: When, reason: Reason })
export const StockReasonBody = z.strictObject({ reason: Reason })

/** What came of a count, a write-off, a return or a correction: nothing moves while it waits for a second person. */
export const StockChangeView = z
  .object({
    outcome: z.enum(['agrees', 'recorded', 'waiting']),
    lotId: z.uuid(),
    lotNumber: z.number().int(),
    /** What it adds to the lot (a minus takes away), now or once it is confirmed. */
    differenceKg: KgView,
    /** Missing though it is set aside for orders: it stays in the books, with the discrepancy of this number. */
    missingKg: KgView,
    discrepancyNumber: z.number().int().nullable(),
    proposalNumber: z.number().int().nullable(),
    onHandKg: KgView,
    reservedKg: KgView,
  })
  .meta({ id: 'StockChange' })

const PROPOSAL_STATES = ['waiting', 'confirmed', 'refused'] as const
export const ProposalListQuery = listQuery(['number', 'proposedAt'], { status: words(PROPOSAL_STATES), lotId: z.uuid().optional() }, 'desc')
/** A count or a write-off that is more than one person may enter alone. */
export const ProposalView = z
  .object({
    id: z.uuid(),
    number: z.number().int(),
    kind: z.enum(['count', 'write-off']),
    status: z.enum(PROPOSAL_STATES),
    lotId: z.uuid(),
    lotNumber: z.number().int(),
    ingredientNameEn: z.string(),
    ingredientNameSw: z.string(),
    kg: KgView,
    differenceKg: KgView,
    onHandKg: KgView,
    reservedKg: KgView,
    happenedAt: Instant,
    reason: z.string(),
    proposedAt: Instant,
    proposedBy: z.string(),
    mine: z.boolean(),
    decidedAt: Instant.nullable(),
    decidedBy: z.string().nullable(),
    decidedReason: z.string().nullable(),
    revision: z.number().int(),
  })
  .meta({ id: 'StockProposal' })

export const StockAsOfQuery = listQuery(['number'], { at: Instant })
/** A lot as of a past moment: by when things happened, and by what the books said then. */
export const StockAsOfView = z
  .object({
    id: z.uuid(),
    number: z.number().int(),
    ingredientNameEn: z.string(),
    ingredientNameSw: z.string(),
    happened: z.object({ onHandKg: KgView, reservedKg: KgView }),
    entered: z.object({ onHandKg: KgView, reservedKg: KgView }),
  })
  .meta({ id: 'StockAsOf' })

/** The sums that must agree, computed afresh from the ledger. */
export const StockProofView = z
  .object({
    at: Instant,
    whole: z.boolean(),
    transfers: z.number().int(),
    entries: z.number().int(),
    sumKg: KgView,
    unbalancedTransfers: z.number().int(),
    /** The first of them, oldest first: each names itself, so that it can be looked up in the list of movements and on paper. */
    unbalancedMovements: z.array(
      z.object({
        id: z.uuid(),
        kind: z.string(),
        happenedAt: Instant,
        actor: z.string(),
        entries: z.number().int(),
        sumKg: KgView,
        lotNumbers: z.array(z.number().int()),
      }),
    ),
    lots: z.number().int(),
    lotDifferences: z.array(
      z.object({ lotNumber: z.number().int(), onHandKg: KgView, ledgerOnHandKg: KgView, reservedKg: KgView, ledgerReservedKg: KgView }),
    ),
    bagDifferences: z.array(z.object({ batchNumber: z.number().int(), onHandKg: KgView, ledgerKg: KgView })),
    auditEntries: z.number().int(),
    auditHead: z.string(),
    auditBrokenAt: z.number().int().nullable(),
    /** row-changed: that row is not what was sealed; chain-broken: a row before it is missing, or it was put in. */
    auditFault: z.enum(['row-changed', 'chain-broken']).nullable(),
    accounts: z.array(z.object({ account: z.string(), kg: KgView })),
  })
  .meta({ id: 'StockProof' })
