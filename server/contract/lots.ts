import { z } from 'zod'
import { QUICK_TEST_IDS } from '#core/laboratory/quick-tests'
import { STAGES } from '#core/requirement/stages'
import { HAZARDS } from '#core/safety/required-tests'
import { LOOK_POINTS } from '#core/receiving/looks'
import { ChildLotView, MakingKindWord, MakingView } from './derived-lots.js'
import { FindingView } from './findings.js'
import { LOT_STATUSES, LotStatus } from './lot-status.js'
import { listQuery, words } from './lists.js'
import {
  AgreedMoisturePct,
  Instant,
  KgOrZeroString,
  KgString,
  KgView,
  KnownByWord,
  LanguageCode,
  MoneyView,
  PlainDate,
  PricePerKgString,
  RequiredText,
  Text,
} from './quantities.js'
import { FromSheet } from './sheets.js'

export { LOT_STATUSES, LotStatus } from './lot-status.js'
export const Hazard = z.enum(HAZARDS).meta({ id: 'Hazard' })
export const QuickTestWord = z.enum(QUICK_TEST_IDS).meta({ id: 'QuickTest' })
export const ReadingWord = z.enum(['figure', 'none-found', 'found']).meta({ id: 'Reading' })

const STAGE_IDS = STAGES.map(({ id }) => id)
const StageWord = z.string().refine((id) => STAGE_IDS.includes(id), 'a stage that feed is made for, as in the list of requirements')

export const LotListQuery = listQuery(
  ['number', 'receivedAt', 'expiresOn', 'onHandKg', 'pricePerKg', 'status'],
  {
    status: words(LOT_STATUSES),
    ingredientId: z.string().max(80).optional(),
    supplierId: z.uuid().optional(),
    waitsFor: z.enum(['tests', 'decision']).optional().describe('lots on hold: without protein or moisture result, or with both'),
  },
  'desc',
)

/** A bought premix or concentrate must say whether it holds medicine. */
export const LotMedication = z.strictObject({
  active: RequiredText(80),
  // 1 mg of the active in a kilogram: weaker products are none, and a dose divided by nothing is no share of a feed.
  strengthPct: z.number().min(0.0001, 'at least 0.0001 %').max(100, 'at most 100 %'),
})

/** What the scale showed with the goods and without them, and what one empty bag weighs. */
export const Weighing = z.strictObject({
  grossKg: KgString,
  tareKg: KgOrZeroString,
  // A thin plastic sack weighs 60 g, a heavy sisal one about 1.1 kg; common practice, no source.
  emptyBagG: z.number().int().min(1, 'at least 1 g').max(3000, 'at most 3,000 g').nullable().default(null),
})

/** One point of the look-and-smell check; what was not looked at is left out, never taken for good. */
export const LookAtLot = z.strictObject({ point: z.enum(LOOK_POINTS), good: z.boolean(), note: Text(200).default('') })

export const ReceiveLotBody = z.strictObject({
  ingredientId: z.string().min(1).max(80),
  supplierId: z.uuid(),
  receivedAt: Instant,
  bags: z.number().int().min(1).max(100_000).nullable().default(null),
  netKg: KgString,
  weighing: Weighing.nullable().default(null).describe('when given, netKg is gross less tare less the empty bags'),
  noteKg: KgString.nullable().default(null).describe('kilograms on the delivery note'),
  pricePerKg: PricePerKgString.describe('by the terms: a kilogram as delivered, or at the agreed moisture when there is one'),
  agreedMoisturePct: AgreedMoisturePct.describe('the price is for kilograms at this moisture; null: as delivered'),
  intakeMoisturePct: z.number().min(0, 'at least 0 %').max(60, 'at most 60 %').nullable().default(null),
  deliveryNote: Text(80).default(''),
  storagePlace: Text(80).default(''),
  expiresOn: PlainDate.nullable().default(null),
  expiryOnLabel: z.boolean().default(false).describe('the date is printed on the label; only such a date may be later than the lot keeps'),
  looks: z.array(LookAtLot).max(LOOK_POINTS.length).default([]),
  medicationDeclared: z.boolean().default(false).describe('the label was read: it says which medicine is in it, or that there is none'),
  medication: LotMedication.nullable().default(null),
})
export type ReceiveLotBody = z.infer<typeof ReceiveLotBody>

/** What is received now, or was written on a blank sheet while there was no power. */
export const ReceiveDeliveryBody = ReceiveLotBody.extend({ sheet: FromSheet })

/** A delivery that was typed wrongly, whole again as it should have been. */
export const CorrectReceiptBody = ReceiveLotBody.extend({ reason: RequiredText(400) })

/** So many photos a lot: the stack, the label and what is wrong, twice over. */
export const MOST_PHOTOS = 8
/** Characters of one part of a photo on the wire, base64; longer texts are refused everywhere. */
export const PHOTO_PART = 100_000
const MOST_PARTS = 4
/** Bytes of one photo (four characters of base64 hold three); a phone's picture of 1,280 points is about half of it. */
export const MAX_PHOTO_BYTES = (MOST_PARTS * PHOTO_PART * 3) / 4

export const AddPhotoBody = z.strictObject({
  parts: z
    .array(
      z
        .string()
        .regex(/^[A-Za-z0-9+/]*={0,2}$/, 'base64')
        .max(PHOTO_PART),
    )
    .min(1)
    .max(MOST_PARTS, `at most ${MAX_PHOTO_BYTES / 1000} kB`)
    .describe('a JPEG in base64, cut into parts'),
  shows: z.enum(LOOK_POINTS).nullable().default(null).describe('the point of the check that it shows'),
  takenAt: Instant,
})
export const LotPhotoView = z
  .object({
    id: z.uuid(),
    lotId: z.uuid(),
    shows: z.enum(LOOK_POINTS).nullable(),
    takenAt: Instant,
    addedAt: Instant,
    addedBy: z.string(),
    bytes: z.number().int(),
  })
  .meta({ id: 'LotPhoto' })
export type LotPhotoView = z.infer<typeof LotPhotoView>

export const SamplePlanView = z
  .object({
    increments: z.number().int(),
    bagsToOpen: z.number().int().nullable(),
    liquid: z.boolean(),
    forMould: z.boolean(),
    aggregateKg: z.number(),
    gramsEach: z.number().int(),
    finalSamples: z.number().int(),
    rules: z.array(z.string()),
  })
  .meta({ id: 'SamplePlan' })

export const PapersQuery = z.strictObject({ language: LanguageCode.optional() })

/** Two printed papers of a lot as models in one language: the PDF and the print view show exactly these. */
export const LotPapersView = z
  .object({
    language: LanguageCode,
    mill: z.string(),
    printed: z.string(),
    lotWord: z.string(),
    lotNumber: z.number().int(),
    ingredient: z.string(),
    pictogram: z.string(),
    qr: z.string(),
    card: z.object({
      title: z.string(),
      state: z.string(),
      stateShape: z.enum(['hold', 'pass', 'block']),
      bar: z.string().describe('what stands across the card in white on black; empty when the lot may be used'),
      rows: z.array(z.object({ name: z.string(), value: z.string() })),
      warnings: z.array(z.string()),
      keep: z.string(),
    }),
    label: z.object({
      title: z.string(),
      rows: z.array(z.object({ name: z.string(), value: z.string() })),
      kinds: z.array(z.string()).describe('one label each: the sample to test and the one to keep'),
      how: z.string(),
      blanks: z.array(z.string()),
    }),
  })
  .meta({ id: 'LotPapers' })
export type LotPapersView = z.infer<typeof LotPapersView>

export const AssayView = z
  .object({
    id: z.uuid(),
    lotId: z.uuid(),
    lotNumber: z.number().int(),
    ingredientId: z.string(),
    ingredientNameEn: z.string(),
    ingredientNameSw: z.string(),
    analyte: z.string(),
    value: z.number(),
    unit: z.string(),
    belowDetection: z.boolean(),
    sd: z.number().nullable(),
    reading: ReadingWord.describe('of a test that says yes or no: what it said, `value` is then its detection limit'),
    quickTest: QuickTestWord.nullable(),
    method: z.string(),
    laboratory: z.string(),
    measuredOn: PlainDate,
    recordedAt: Instant,
    recordedBy: z.string(),
    supersedesId: z.uuid().nullable(),
    superseded: z.boolean(),
    note: z.string(),
  })
  .meta({ id: 'Assay' })

export const LotView = z
  .object({
    id: z.uuid(),
    number: z.number().int(),
    ingredientId: z.string(),
    ingredientNameEn: z.string(),
    ingredientNameSw: z.string(),
    pictogram: z.string(),
    supplierId: z.uuid(),
    supplierName: z.string(),
    receivedAt: Instant,
    enteredAt: Instant,
    receivedBy: z.string(),
    bags: z.number().int().nullable(),
    netKg: KgView,
    weighing: z.object({ grossKg: KgView, tareKg: KgView, emptyBagG: z.number().int().nullable() }).nullable(),
    noteKg: KgView.nullable(),
    pricePerKg: PricePerKgString.describe('of a kilogram as delivered, whatever the terms'),
    payment: z
      .object({
        agreedMoisturePct: z.number().nullable().describe('null: paid as delivered'),
        pricePerKg: PricePerKgString.describe('of a paid kilogram, by the terms'),
        paidKg: KgView,
        money: MoneyView,
        moneyAsDelivered: MoneyView.describe('what the same price would make of the kilograms weighed'),
      })
      .describe('what is owed for the delivery'),
    intakeMoisturePct: z.number().nullable(),
    deliveryNote: z.string(),
    storagePlace: z.string(),
    expiresOn: PlainDate.nullable(),
    expiryRule: z.string().describe('why that day: label, keeper, wet-grain, mill, or the row of the reference; empty: no date'),
    looks: z.array(LookAtLot),
    medicationDeclared: z.boolean(),
    medication: z.object({ active: z.string(), strengthPct: z.number() }).nullable(),
    status: LotStatus,
    statusReason: z.string(),
    decidedBy: z.string().nullable(),
    decidedAt: Instant.nullable(),
    releasedFor: z.array(z.string()).describe('stages whose feed it may enter; none: every feed'),
    retestOn: PlainDate.nullable().describe('the last day of use without a new result'),
    holdUntil: PlainDate.nullable().describe('nobody can release it before this day'),
    onHandKg: KgView,
    reservedKg: KgView,
    freeKg: KgView,
    moisturePct: z.number().nullable().describe('by assay, else by the meter at intake'),
    proteinPct: z.number().nullable().describe('by assay only'),
    madeBy: MakingKindWord.nullable().describe('how it was made from other lots; null: it was delivered'),
    revision: z.number().int(),
  })
  .meta({ id: 'Lot' })
export type LotView = z.infer<typeof LotView>

/** One value of a lot with the steps it came by; each step is a code with facts, told in words by the console. */
export const LotValueView = z
  .object({
    nutrient: z.string(),
    unit: z.string(),
    value: z.number().nullable(),
    sd: z.number().nullable(),
    knownBy: KnownByWord,
    bookValue: z.number().nullable(),
    steps: z.array(z.object({ code: z.string(), facts: z.record(z.string(), z.union([z.string(), z.number(), z.boolean(), z.null()])) })),
  })
  .meta({ id: 'LotValue' })

export const LotPoisonView = z
  .object({
    analyte: z.string(),
    value: z.number().describe('the worst result; the detection limit when below detection'),
    unit: z.string(),
    belowDetection: z.boolean(),
    upperBound: z.number().describe('what the lot may hold at most, 19 times in 20: samples miss mould poisons'),
    results: z.number().int(),
  })
  .meta({ id: 'LotPoison' })

/** What must, should or need not have been tested of an ingredient before a lot of it is released, and who asks. */
export const TestDutyView = z
  .object({
    hazard: Hazard,
    duty: z.enum(['required', 'asked', 'none']),
    by: z.enum(['mill-rule', 'mill-addition', 'reference']).nullable(),
    ruleId: z.string().nullable(),
    source: z.string().nullable(),
    read: z.boolean(),
    reason: z.string().nullable(),
  })
  .meta({ id: 'TestDuty' })
export const LotTestView = TestDutyView.extend({ tested: z.boolean().describe('false is unknown, not clean') }).meta({ id: 'LotTest' })

export const LotDetailView = LotView.extend({
  assays: z.array(AssayView),
  composition: z.array(LotValueView),
  poisons: z.array(LotPoisonView),
  flags: z.array(z.object({ code: z.string(), facts: z.record(z.string(), z.union([z.string(), z.number(), z.boolean(), z.null()])) })),
  findings: z.array(FindingView),
  mayRelease: z.boolean(),
  tests: z.array(LotTestView),
  samplePlan: SamplePlanView,
  photos: z.array(LotPhotoView),
  making: MakingView.nullable().describe('null: it was delivered'),
  children: z.array(ChildLotView).describe('lots that were made of it, with what they took of it'),
}).meta({ id: 'LotDetail' })

export const ReleaseLotBody = z.strictObject({
  reason: Text(400).default('').describe('needed when a warning stands against the release, and for some stages only'),
  stages: z.array(StageWord).max(40).default([]).describe('only into the feed of these stages; none: into every feed'),
  retestOn: PlainDate.nullable().default(null),
})
/** A released lot that may enter the feed of these stages only, from now on. */
export const LimitLotBody = z.strictObject({ stages: z.array(StageWord).min(1).max(40), reason: RequiredText(400) })
export const HoldLotBody = z.strictObject({
  reason: RequiredText(400),
  until: PlainDate.nullable().default(null).describe('nobody can release it before this day, e.g. of a fumigation'),
})

export const RequiredTestView = z
  .object({
    id: z.uuid(),
    ingredientId: z.string(),
    hazard: Hazard,
    reason: z.string(),
    addedBy: z.string(),
    addedAt: Instant,
    removedBy: z.string().nullable(),
    removedAt: Instant.nullable(),
    removedReason: z.string().nullable(),
    revision: z.number().int(),
  })
  .meta({ id: 'RequiredTest' })
export const AddRequiredTestBody = z.strictObject({ ingredientId: z.string().min(1).max(80), hazard: Hazard, reason: RequiredText(400) })
export const RemoveRequiredTestBody = z.strictObject({ reason: RequiredText(400) })

/** Every ingredient of the mill against every hazard. */
export const TestMatrixView = z
  .object({
    rows: z.array(
      z.object({
        ingredientId: z.string(),
        ingredientNameEn: z.string(),
        ingredientNameSw: z.string(),
        category: z.string(),
        inStore: z.boolean(),
        duties: z.array(TestDutyView),
      }),
    ),
    own: z.array(RequiredTestView).describe("the mill's own additions, those taken back too, newest first"),
  })
  .meta({ id: 'TestMatrix' })
export const RejectLotBody = z.strictObject({ reason: RequiredText(400) })
