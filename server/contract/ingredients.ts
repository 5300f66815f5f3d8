import { z } from 'zod'
import { listQuery } from './lists.js'
import { Instant, KgView, KnownByWord, PlainDate, PricePerKgString } from './quantities.js'

export const IngredientListQuery = listQuery(['id', 'nameEn', 'nameSw', 'category'], {
  category: z.string().max(60).optional(),
  inStore: z.enum(['yes']).optional().describe('only ingredients with stock on hand'),
})

/** One value and how it is known; `value` is null exactly when it is unknown. */
export const NutrientValueView = z
  .object({
    nutrient: z.string(),
    unit: z.string(),
    value: z.number().nullable(),
    sd: z.number().nullable(),
    knownBy: KnownByWord,
    source: z.string(),
    note: z.string(),
  })
  .meta({ id: 'NutrientValue' })

export const IngredientView = z
  .object({
    id: z.string(),
    nameEn: z.string(),
    nameSw: z.string(),
    category: z.string(),
    pictogram: z.string(),
    shelfLifeDays: z.number().int().nullable(),
    qualityRisk: z.string(),
    replacementPricePerKg: PricePerKgString.nullable(),
    replacementPriceOn: PlainDate.nullable(),
    onHandKg: KgView,
    freeKg: KgView,
  })
  .meta({ id: 'Ingredient' })

export const IngredientDetailView = IngredientView.extend({
  values: z.array(NutrientValueView),
  inclusionGuides: z.array(
    z.object({ birdClass: z.string(), maxPct: z.number(), knownBy: KnownByWord, source: z.string(), reason: z.string() }),
  ),
  lots: z.array(z.object({ id: z.uuid(), number: z.number().int(), status: z.string(), onHandKg: KgView, pricePerKg: PricePerKgString })),
  paid: z
    .array(
      z.object({
        lotId: z.uuid(),
        number: z.number().int(),
        receivedAt: Instant,
        netKg: KgView,
        pricePerKg: PricePerKgString,
        supplierName: z.string(),
      }),
    )
    .describe('what the last deliveries cost, oldest first'),
  measured: z
    .array(
      z.object({
        nutrient: z.string(),
        lotId: z.uuid(),
        number: z.number().int(),
        value: z.number().describe('as the laboratory measured it; moisture as dry matter'),
        inStore: z.boolean(),
      }),
    )
    .describe('laboratory results of the newest lots, each by itself; quick tests and what lay below detection are left out'),
  cover: z.object({
    windowDays: z.number().int(),
    usedKg: KgView.describe('weighed into loads in the window'),
    perDayKg: KgView,
    days: z.number().int().nullable().describe('how long the free stock lasts at that pace; null: nothing was used'),
    until: PlainDate.nullable(),
  }),
}).meta({ id: 'IngredientDetail' })

export const SourceView = z.object({ id: z.string(), citation: z.string() }).meta({ id: 'Source' })
export const SourceListQuery = listQuery(['id'], {})
