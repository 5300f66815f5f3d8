import { z } from 'zod'
import { listQuery, words } from './lists.js'
import { Instant, KgString, KgView, MAX_DELIVERY_KG, MoneyView, PlainDate, PricePerKgString, RequiredText, Text } from './quantities.js'

/** `standing`: may be used today. Expired and withdrawn offers are kept to be read and never used. */
export const OFFER_STATES = ['standing', 'expired', 'withdrawn'] as const

/** A big bag holds a tonne, a lorry sold whole some thirty; common practice, no source. */
export const MAX_PACK_KG = 30_000
export const MAX_FEWEST_PACKS = 10_000
/** Longer than a ship from another continent takes. Common practice, no source. */
export const MAX_DELIVERY_DAYS = 180
/** An offer for longer than this is a slip of the pen in the year. Common practice, no source. */
export const MAX_VALID_DAYS = 400

const whole = (least: number, most: number) => z.number().int('a whole number').min(least, `at least ${least}`).max(most, `at most ${most}`)
const atMostKg = (most: number) => KgString.refine((text) => Number(text) <= most, `at most ${most} kg`)

export const SupplierOfferListQuery = listQuery(
  ['number', 'pricePerKg', 'validUntil', 'deliveryDays', 'notedAt'],
  { state: words(OFFER_STATES), supplierId: z.uuid().optional(), ingredientId: z.string().min(1).max(80).optional() },
  'desc',
)

export const NoteSupplierOfferBody = z.strictObject({
  supplierId: z.uuid('the id of a supplier'),
  ingredientId: z.string().min(1, 'the id of an ingredient').max(80),
  pricePerKg: PricePerKgString.refine((text) => Number(text) > 0, 'more than 0'),
  packKg: atMostKg(MAX_PACK_KG).describe('kilograms of one pack; only whole packs are sold'),
  fewestPacks: whole(1, MAX_FEWEST_PACKS).default(1),
  mostKg: atMostKg(MAX_DELIVERY_KG * 10)
    .nullable()
    .default(null)
    .describe('the most that is to be had; null: not known'),
  deliveryDays: whole(0, MAX_DELIVERY_DAYS).describe('days from the order to the delivery'),
  validUntil: PlainDate.describe('the last day on which the offer stands'),
  note: Text(300).default(''),
})
export type NoteSupplierOfferBody = z.input<typeof NoteSupplierOfferBody>

export const WithdrawSupplierOfferBody = z.strictObject({ reason: RequiredText(300) })

export const SupplierOfferView = z
  .object({
    id: z.uuid(),
    number: z.number().int(),
    state: z.enum(OFFER_STATES),
    supplierId: z.uuid(),
    supplierName: z.string(),
    ingredientId: z.string(),
    ingredientNameEn: z.string(),
    ingredientNameSw: z.string(),
    pictogram: z.string(),
    pricePerKg: PricePerKgString,
    packKg: KgView,
    fewestPacks: z.number().int(),
    fewestCost: MoneyView.describe('what the fewest packs cost'),
    mostKg: KgView.nullable(),
    deliveryDays: z.number().int(),
    arrivesOn: PlainDate.describe('when it would come if it were ordered today'),
    validUntil: PlainDate,
    note: z.string(),
    notedAt: Instant,
    notedBy: z.string(),
    withdrawnAt: Instant.nullable(),
    withdrawnBy: z.string().nullable(),
    withdrawnReason: z.string().nullable(),
    revision: z.number().int(),
  })
  .meta({ id: 'SupplierOffer' })
export type SupplierOfferView = z.output<typeof SupplierOfferView>
