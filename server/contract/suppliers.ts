import { z } from 'zod'
import { MOST_EARLIER_LOTS } from '#core/composition/supplier-record'
import { LEAST_LOTS } from '#core/quality/control-chart'
import { LEFT_OUT } from '#core/quality/lot-reading'
import { listQuery } from './lists.js'
import { LotStatus, LotValueView } from './lots.js'
import { Instant, KgView, KnownByWord, MoneyView, PricePerKgString, RequiredText, Text } from './quantities.js'

export const SupplierListQuery = listQuery(['name', 'createdAt'], {})
export const CreateSupplierBody = z.strictObject({ name: RequiredText(80), phone: Text(30).default(''), place: Text(80).default('') })
export const SupplierView = z
  .object({
    id: z.uuid(),
    name: z.string(),
    phone: z.string(),
    place: z.string(),
    createdAt: Instant,
    lots: z.number().int(),
    receivedKg: KgView,
    revision: z.number().int(),
  })
  .meta({ id: 'Supplier' })

export const SupplierIngredientListQuery = listQuery(['lots', 'receivedKg', 'lastReceivedAt'], { supplierId: z.uuid() }, 'desc')
/** What one supplier delivered of one ingredient, in sum; `id` is the ingredient. */
export const SupplierIngredientView = z
  .object({
    id: z.string(),
    ingredientNameEn: z.string(),
    ingredientNameSw: z.string(),
    pictogram: z.string(),
    lots: z.number().int(),
    receivedKg: KgView,
    rejectedLots: z.number().int(),
    rejectedKg: KgView,
    lastReceivedAt: Instant,
  })
  .meta({ id: 'SupplierIngredient' })

/** So many of the newest lots are read: years of one supplier, and still one screen's worth of data. */
export const MOST_RECORD_LOTS = 200

export const SupplierRecordQuery = z.strictObject({ ingredientId: z.string().min(1, 'the id of an ingredient').max(80) })

const ReadingView = z.object({
  value: z.number().nullable().describe('what counts, in per cent: protein at the dry matter of the book, moisture as measured'),
  measured: z.number().nullable().describe('as the laboratory wrote it, in per cent; the detection limit when below detection'),
  leftOut: z.enum(LEFT_OUT).nullable().describe('why the lot has no value that counts'),
})

const ChartView = z.object({
  lots: z.number().int().describe('lots with a value that counts'),
  mean: z.number().nullable(),
  sd: z.number().nullable().describe('of the values around their mean; null under two lots'),
  range: z
    .object({ low: z.number(), high: z.number() })
    .nullable()
    .describe(`mean and 2.66 mean distances of neighbouring lots on each side; null under ${LEAST_LOTS} lots`),
  outside: z.array(z.number().int()).describe('numbers of the lots outside the range, in order of delivery'),
})

export const SupplierRecordView = z
  .object({
    supplierId: z.uuid(),
    ingredientId: z.string(),
    ingredientNameEn: z.string(),
    ingredientNameSw: z.string(),
    bookDryMatterPct: z.number().nullable().describe('protein is compared at this dry matter; null: as measured'),
    points: z
      .array(
        z.object({
          lotId: z.uuid(),
          number: z.number().int(),
          receivedAt: Instant,
          netKg: KgView,
          noteKg: KgView.nullable().describe('kilograms on the delivery note; null: it named none'),
          pricePerKg: PricePerKgString,
          status: LotStatus,
          protein: ReadingView,
          moisture: ReadingView,
        }),
      )
      .describe(`in order of delivery, the newest ${MOST_RECORD_LOTS}`),
    olderLots: z.number().int().describe('lots before these, which are not read'),
    protein: ChartView,
    moisture: ChartView,
    price: z
      .object({
        lots: z.number().int().describe('lots with protein that counts which were not rejected'),
        perKgCrudeProtein: MoneyView,
        digestible: z
          .object({ perKg: MoneyView, sharePct: z.number(), aminoAcids: z.array(z.string()), knownBy: KnownByWord })
          .nullable()
          .describe('null where the reference has no digestibility of this ingredient'),
      })
      .nullable()
      .describe('what a kilogram of protein cost; null where no lot has protein that counts'),
    shortWeights: z
      .object({
        lots: z.number().int().describe('lots whose delivery note had kilograms'),
        shortLots: z.number().int().describe('of these, lots that weighed less'),
        notedKg: KgView,
        differenceKg: KgView.describe('of all of them, weighed less noted; negative when less came'),
      })
      .nullable()
      .describe('what the scale said against the delivery notes; null where no note had kilograms'),
    nextLot: LotValueView.describe('protein of the next lot before its own tests: book and the record of the last lots'),
    recordMean: z
      .object({ lots: z.number().int(), mean: z.number() })
      .nullable()
      .describe(`mean protein of the last ${MOST_EARLIER_LOTS} lots as it moves the belief of the next; null: none was tested`),
  })
  .meta({ id: 'SupplierRecord' })
