import { z } from 'zod'
import { FindingView } from './findings.js'
import { MixView } from './formulas.js'
import { listQuery, words } from './lists.js'
import { Instant, KgString, KgView, MoneyView, PlainDate, PricePerKgString, RequiredText } from './quantities.js'
import { FromSheet } from './sheets.js'

export const ORDER_STATUSES = ['quoted', 'ordered', 'planned', 'being-mixed', 'ready', 'collected', 'cancelled'] as const
export const OrderListQuery = listQuery(
  ['number', 'dueOn', 'placedAt', 'kg', 'status'],
  {
    status: words(ORDER_STATUSES),
    memberId: z.uuid().optional(),
    flockId: z.uuid().optional(),
    formulaId: z.uuid().optional(),
    dueBy: PlainDate.optional().describe('collected on this day or before'),
  },
  'desc',
)

export const PlaceOrderBody = z.strictObject({
  flockId: z.uuid(),
  formulaVersionId: z.uuid(),
  kg: KgString,
  dueOn: PlainDate,
})

/** What a member is offered before they ask: the feed for each flock at its age today. */
export const OfferQuery = listQuery(['flockName'], { memberId: z.uuid().optional() })
export const OfferView = z
  .object({
    id: z.uuid().describe('the flock'),
    flockName: z.string(),
    flockType: z.string(),
    birds: z.number().int(),
    ageWeeks: z.number().int(),
    stage: z.string().nullable(),
    bagKg: KgView,
    feeds: z.array(
      z.object({
        formulaVersionId: z.uuid(),
        nameEn: z.string(),
        nameSw: z.string(),
        stage: z.string(),
        pricePerKg: PricePerKgString,
        proposed: z.boolean().describe('the feed for this age'),
        medicated: z.boolean(),
        findings: z.array(FindingView),
      }),
    ),
    proposedKg: KgView.nullable(),
    gramsPerBirdDay: z.number().nullable(),
    gramsKnownBy: z.string(),
    dueDays: z.array(PlainDate),
  })
  .meta({ id: 'Offer' })

export const OrderView = z
  .object({
    id: z.uuid(),
    number: z.number().int(),
    memberId: z.uuid(),
    memberName: z.string(),
    flockId: z.uuid(),
    flockName: z.string(),
    birds: z.number().int(),
    formulaVersionId: z.uuid(),
    formulaId: z.uuid(),
    feedNameEn: z.string(),
    feedNameSw: z.string(),
    stage: z.string(),
    medicated: z.boolean(),
    kg: KgView,
    bagKg: KgView,
    dueOn: PlainDate,
    status: z.enum(ORDER_STATUSES),
    pricePerKg: PricePerKgString,
    priceTotal: MoneyView.describe('what is ordered at its price; once the order is ready what is in its bags, never more than was told'),
    baggedKg: KgView.nullable().describe('in the bags of a ready or collected order; null before'),
    collectionCode: z.string().nullable().describe('shown to its member; staff ask for it at the counter'),
    placedAt: Instant,
    plannedAt: Instant.nullable(),
    readyAt: Instant.nullable(),
    collectedAt: Instant.nullable(),
    cancelledAt: Instant.nullable(),
    cancelReason: z.string().nullable(),
    revision: z.number().int(),
  })
  .meta({ id: 'Order' })

/** For staff: what the order was solved to, and its loads. */
export const OrderDetailView = OrderView.extend({
  mix: MixView.nullable(),
  costTotal: MoneyView.nullable(),
  findings: z.array(FindingView),
  batches: z.array(
    z.object({
      id: z.uuid(),
      number: z.number().int(),
      loadKg: KgView,
      gapPct: z.number().nullable().describe('no weighable load costs less by more, per cent; null: not kept then'),
      proven: z.boolean().nullable().describe('false: the search stopped at its time limit'),
      bagsCostPct: z
        .number()
        .nullable()
        .describe('what is paid so that fewer bags are opened, per cent of the cost of the load; null: not kept then'),
      status: z.string(),
      startedAt: Instant.nullable().describe('null: nothing was weighed'),
      madeKg: KgView.nullable(),
    }),
  ),
}).meta({ id: 'OrderDetail' })

export const CancelOrderBody = z.strictObject({ reason: RequiredText(400) })
export const PlanOrderBody = z.strictObject({ mixerId: z.uuid().nullable().default(null) })
/** The loads that nobody began are planned again from the stock of now. */
export const ReplanOrderBody = z.strictObject({
  reason: RequiredText(400),
  mixerId: z.uuid().nullable().default(null).describe('null: the mixer they were planned for'),
})
export const CancelRestBody = z.strictObject({ reason: RequiredText(400) })
export const CollectOrderBody = z.strictObject({
  collectionCode: z
    .string()
    .regex(/^\d{4}$/, 'four digits')
    .nullable()
    .describe('null only with a sheet, where the member gave none'),
  collectedAt: Instant.nullable().default(null).describe('when it happened; only with a sheet'),
  sheet: FromSheet,
})
