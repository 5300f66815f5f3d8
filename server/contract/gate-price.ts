import { z } from 'zod'
import { FindingView } from './findings.js'
import { AgreedMoisturePct, KgString, KgView, KnownByWord, MAX_DELIVERY_KG, MoneyView, PlainDate, PricePerKgString } from './quantities.js'

/**
 * Two weeks: what a village mill makes from its orders and can foresee, and about as long as the next truck of the same goods takes.
 * Common practice, no source; the page lets everybody ask for more or fewer days.
 */
export const LOOK_AHEAD_DAYS = 14
/** Longer than any ingredient that the reference has a shelf life of keeps fresh, but salt, stone and premixes. Common practice, no source. */
export const MOST_LOOK_AHEAD_DAYS = 90

/** By what a quick figure was found; each errs differently. */
export const PROTEIN_METHODS = ['near-infrared', 'chemical'] as const
export const SAND_METHODS = ['sand-jar', 'laboratory'] as const

const percent = (most: number) => z.number().min(0, 'at least 0 %').max(most, `at most ${most} %`).nullable().default(null)

export const GatePriceBody = z.strictObject({
  ingredientId: z.string().min(1, 'the id of an ingredient').max(80),
  supplierId: z.uuid('the id of a supplier').nullable().default(null).describe('null: not known, or new'),
  kg: KgString.refine((text) => Number(text) <= MAX_DELIVERY_KG, `at most ${MAX_DELIVERY_KG} kg`)
    .nullable()
    .default(null)
    .describe('kilograms on the truck; null: bags times bagKg'),
  bags: z.number().int('a whole number').min(1, 'at least 1').max(100_000, 'at most 100000').nullable().default(null),
  bagKg: KgString.nullable().default(null).describe('kilograms of one bag'),
  pricePerKg: PricePerKgString.refine((text) => Number(text) > 0, 'more than 0').describe('asked for a kilogram as it came'),
  moisturePct: percent(60).describe('by the meter at the gate; null: not measured'),
  proteinPct: percent(100).describe('crude protein by a quick test; null: not measured'),
  proteinMethod: z.enum(PROTEIN_METHODS).default('near-infrared'),
  sandPct: percent(100).describe('sand (acid-insoluble ash); null: not looked for'),
  sandMethod: z.enum(SAND_METHODS).default('sand-jar'),
  urea: z.enum(['none-found', 'found']).nullable().default(null).describe('by the quick test; null: not made'),
  agreedMoisturePct: AgreedMoisturePct.describe(
    'the price is also told for kilograms at this moisture; null: at the moisture that the book or the store has',
  ),
  days: z
    .number()
    .int('a whole number of days')
    .min(1, 'at least 1 day')
    .max(MOST_LOOK_AHEAD_DAYS, `at most ${MOST_LOOK_AHEAD_DAYS} days`)
    .default(LOOK_AHEAD_DAYS)
    .describe('how far the mill looks ahead'),
})
export type GatePriceBody = z.output<typeof GatePriceBody>

const NamedIngredient = { ingredientId: z.string(), ingredientNameEn: z.string(), ingredientNameSw: z.string() }
/** Worked out, rounded down to a hundredth: at a hair more the sentence would no longer be true. */
const Price = z.number().describe('in the currency of the mill, for a kilogram')

/** `blocked`: a safety rule keeps it out of feed. `cannot-tell`: no price follows, see `reason`. */
export const GATE_VERDICTS = ['take', 'offer', 'part', 'not-wanted', 'blocked', 'cannot-tell'] as const
export const GATE_REASONS = ['no-feed-wanted', 'no-feed-possible', 'only-with-truck', 'time-limit', 'failed'] as const

const Change = z.object({
  ...NamedIngredient,
  lotId: z.string(),
  lotNumber: z.number().int().nullable().describe('null: not in the store, it would be bought'),
  supplierName: z.string().nullable().describe('of an offer that stands'),
  kg: KgView.describe('more (above 0) or less of it than without the truck'),
  pricePerKg: PricePerKgString.describe('the price that decides today'),
})

const Feed = z.object({
  formulaId: z.uuid(),
  number: z.number().int(),
  nameEn: z.string(),
  nameSw: z.string(),
  stage: z.string(),
  wantedKg: KgView,
  wantedBy: z.enum(['orders', 'recent-use']).describe('orders not planned yet, or what was made lately where that is more'),
  state: z.enum(['counted', 'only-with-truck', 'impossible']).nullable().describe('null: it was not solved'),
  unknown: z.string().nullable().describe('a nutrient without which the truck cannot enter this feed'),
  usedKg: KgView.describe('of the truck, at the price that is explained'),
  stopsAt: Price.nullable().describe('above this price the feed takes none of the truck; null: at no price it does'),
  changes: z.array(Change),
})

const Believed = z.object({
  nutrient: z.enum(['moisture', 'CP', 'AME']),
  unit: z.string(),
  value: z.number().nullable(),
  sd: z.number().nullable(),
  knownBy: KnownByWord,
  bookValue: z.number().nullable(),
})

export const GatePriceView = z
  .object({
    verdict: z.enum(GATE_VERDICTS),
    reason: z.enum(GATE_REASONS).nullable(),
    ...NamedIngredient,
    kg: KgView,
    askedPerKg: PricePerKgString,
    days: z.number().int().describe('looked ahead: no more than the lot keeps'),
    until: PlainDate,
    keeping: z
      .object({ days: z.number().int(), rule: z.string() })
      .nullable()
      .describe('how long it keeps; null: nobody knows but the label'),
    driedTo: z
      .number()
      .nullable()
      .describe(
        'wetter than it may be stored: it is valued as what is left of it at this moisture, in per cent; null: dry enough, or not known',
      ),
    driedKg: KgView.nullable().describe('kilograms that are left then'),
    whole: Price.nullable().describe('the highest price at which all of it is used; null: at no price'),
    half: Price.nullable(),
    breakEven: Price.nullable().describe('above this nothing of it is used'),
    average: Price.nullable().describe('what it spares the mill a kilogram if it cost nothing: the most for all or nothing'),
    agreedMoisturePct: z.number().nullable().describe('null: its own moisture is not known'),
    wholeAtAgreed: Price.nullable().describe('the same money for kilograms at the agreed moisture'),
    breakEvenAtAgreed: Price.nullable(),
    usedKg: KgView.describe('of the truck at the price asked'),
    spared: MoneyView.describe('what the mill saves by buying so much at the price asked'),
    mostKg: KgView.describe('that could be used if it cost nothing'),
    explainedAt: Price.nullable().describe('the price at which the feeds are told: the one asked where some is used at it'),
    steps: z.array(z.object({ fromPrice: z.number(), toPrice: z.number(), kg: KgView })),
    exact: z.boolean(),
    feedPct: z.number().describe('of the feed wanted that can be made without the truck, in per cent; the prices are for so much'),
    feeds: z.array(Feed),
    believed: z.array(Believed),
    findings: z.array(FindingView).describe('what the safety rules say of it'),
  })
  .meta({ id: 'GatePrice' })
export type GatePriceView = z.output<typeof GatePriceView>
