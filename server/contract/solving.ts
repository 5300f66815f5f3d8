import { z } from 'zod'
import { HenDayBody, LimitsBody, MedicationBody, MixView } from './formulas.js'
import { KgString, KgView, MoneyView, PlainDate, PricePerKgString, RequiredText } from './quantities.js'

const Ingredient = z.string().min(1).max(80)
const repeated = (ids: readonly string[]): boolean => new Set(ids).size < ids.length

/** A price to try in place of the one that decides today; it is kept nowhere. */
export const TriedPrice = z.strictObject({ ingredientId: Ingredient, pricePerKg: PricePerKgString })

/** What is asked of the solver: limits against lots, at prices, without keeping anything. */
export const SolveLimitsBody = z.strictObject({
  stage: RequiredText(60),
  limits: LimitsBody,
  medication: MedicationBody.nullable().default(null),
  batchKg: KgString.default('1000'),
  lots: z
    .enum(['released', 'in-store', 'book'])
    .default('released')
    .describe('released lots; also lots on hold; or every ingredient at its book values and replacement price'),
  prices: z
    .array(TriedPrice)
    .max(120)
    .refine((prices) => !repeated(prices.map(({ ingredientId }) => ingredientId)), 'each ingredient once')
    .default([])
    .describe('prices to try, for all lots of an ingredient'),
  without: z.array(Ingredient).max(60).default([]).describe('ingredients to leave out'),
})
export type SolveLimitsBody = z.infer<typeof SolveLimitsBody>

const LimitFacts = z.record(z.string(), z.union([z.string(), z.number(), z.null()]))
const NamedIngredient = { ingredientId: z.string(), ingredientNameEn: z.string(), ingredientNameSw: z.string() }
/** Prices here are worked out, so they may be finer or below nothing where no price would do. */
const PricePerKg = z.number().describe('in the currency of the mill, for a kilogram')
const PerTonne = z.number().describe('in the currency of the mill, for a tonne of feed')

const PurchaseItem = z.object({
  ...NamedIngredient,
  kg: KgView,
  leftKg: KgView.describe('what is left over of it after the mix'),
  pricePerKg: PricePerKgString,
  cost: MoneyView,
  offer: z
    .object({
      id: z.uuid(),
      number: z.number().int(),
      supplierId: z.uuid(),
      supplierName: z.string(),
      packs: z.number().int(),
      packKg: KgView,
      validUntil: PlainDate,
      arrivesOn: PlainDate.describe('if it is ordered today'),
    })
    .nullable()
    .describe('null: nobody offers it, so it is counted at its replacement price'),
  pricedOn: PlainDate.nullable().describe('without an offer: the day of the replacement price, where it is known'),
})

const PurchaseView = z.object({
  items: z.array(PurchaseItem),
  total: MoneyView,
  arrivesOn: PlainDate.nullable().describe('when the last of the offers would have come; null where no offer is bought from'),
  neededOn: PlainDate.nullable(),
  late: z.boolean().nullable().describe('whether that is after the day it is needed; null where either is not known'),
  proven: z.boolean().describe('false: the search ran out of time, so a cheaper purchase may exist'),
})
export type PurchaseView = z.infer<typeof PurchaseView>

/** Why a mix costs what it costs, or why there is none. Figures hold for the mix of the same request. */
export const ExplanationView = z
  .object({
    kind: z.enum(['optimal', 'infeasible', 'failed']),
    reason: z.string().nullable(),
    limits: z.array(
      z.object({
        row: z.string(),
        limit: LimitFacts,
        from: z.number().describe('the limit now'),
        to: z.number().describe('one sensible step looser'),
        unit: z.string(),
        savesPerTonne: PerTonne.describe('what that step saves'),
        holdsTo: z.number().nullable().describe('each further step saves the same until here; null: without end'),
      }),
    ),
    prices: z.array(
      z.object({
        ...NamedIngredient,
        used: z.boolean(),
        pricePerKg: PricePerKg.describe('the price that decides today'),
        staysFrom: PricePerKg.nullable().describe('used: the mix stays as it is from here; null: without end'),
        staysTo: PricePerKg.nullable().describe('used: to here; null: without end'),
        staysKnown: z.boolean().describe('false: no such range, because certainty lets the mix move with every price'),
        entersBelow: PricePerKg.nullable().describe('unused: enters below this; null: at no price'),
      }),
    ),
    ranges: z
      .enum(['exact', 'not-told-under-certainty'])
      .describe(
        'not-told-under-certainty: some limit asks for certainty, so the mix moves a little with every price and limit. Then no price of a used ingredient has a range in which the mix stays, and no saving holds farther than its step',
      ),
    complete: z.boolean().describe('false: time was not enough for all of it'),
    certainty: z
      .object({
        costAtMeanPerTonne: PerTonne,
        costPerTonne: PerTonne,
        limits: z.array(
          z.object({
            nutrient: z.string(),
            side: z.enum(['min', 'max']),
            asked: z.number(),
            savesPerTonne: PerTonne.describe('at 50 % for this limit alone'),
          }),
        ),
      })
      .nullable()
      .describe('what the certainty asked for costs; null where none is asked'),
    relaxations: z.array(
      z.object({
        row: z.string(),
        limit: LimitFacts,
        from: z.number(),
        to: z.number().describe('the nearest value, in sensible steps, with which a mix exists when only this limit moves'),
        unit: z.string(),
      }),
    ),
    together: z
      .array(z.object({ row: z.string(), limit: LimitFacts, from: z.number(), to: z.number(), unit: z.string() }))
      .describe('where no single limit is enough: the least that several must move'),
    purchase: PurchaseView.nullable().describe('the cheapest purchase with which a mix exists; null: none, or none is needed'),
    noPurchase: z
      .object({
        reason: z.enum(['nothing-to-buy', 'not-enough', 'failed']),
        limits: z.array(LimitFacts).describe('of not-enough: what cannot hold together even with everything bought; may be empty'),
      })
      .nullable()
      .describe('why no purchase makes a mix possible; null where one does or none was looked for'),
  })
  .meta({ id: 'Explanation' })
export type ExplanationView = z.infer<typeof ExplanationView>

/** The day is only compared with the day on which a purchase would have come. */
export const ExplainBody = SolveLimitsBody.extend({ neededOn: PlainDate.nullable().default(null) })
export type ExplainBody = z.infer<typeof ExplainBody>

export const CurveBody = SolveLimitsBody.extend({
  of: z.discriminatedUnion('kind', [
    z.strictObject({ kind: z.literal('limit'), row: z.string().min(1).max(200).describe('the row of a limit as the mix names it') }),
    z.strictObject({ kind: z.literal('price'), ingredientId: Ingredient }),
  ]),
  from: z.number().min(-1_000_000).max(1_000_000),
  to: z.number().min(-1_000_000).max(1_000_000),
}).refine(({ from, to }) => from < to, { path: ['from'], message: 'below to' })
export const CurveView = z
  .object({
    unit: z.string(),
    now: z.number().describe('the limit or price today'),
    exact: z
      .boolean()
      .describe(
        'true: the points that turn are exact, none is missed, and the cost is straight between points, or of a ratio within a ten-thousandth; false: within a thousandth of the cost',
      ),
    feasibleFrom: z.number().nullable().describe('no mix below; null: no mix anywhere in the range'),
    feasibleTo: z.number().nullable(),
    points: z.array(
      z.object({
        at: z.number(),
        costPerTonne: PerTonne,
        turns: z.boolean().describe('the slope changes here; otherwise an end, or a point that only shows the shape'),
        pct: z.number().nullable().describe('of a price: share of the ingredient in the mix just above this price'),
      }),
    ),
    reason: z.string().nullable(),
  })
  .meta({ id: 'CostCurve' })
export type CurveView = z.infer<typeof CurveView>

export const AlternativesBody = SolveLimitsBody.extend({
  atMost: z
    .number()
    .int()
    .min(1)
    .max(40)
    .nullable()
    .default(null)
    .describe('at most so many ingredients; null: three fewer than the cheapest has'),
  withinPct: z.number().min(0.1).max(20).default(1).describe('how much dearer the most different mix may be, per cent'),
  leaveOut: z
    .array(Ingredient)
    .max(6)
    .default([])
    .describe('ingredients to show the mix without; none: the three largest that can be missed'),
})
export const AlternativesView = z
  .object({
    mixes: z.array(
      z.object({
        kind: z.enum(['cheapest', 'without', 'at-most', 'most-different']),
        ingredientId: z.string().nullable().describe('of without'),
        atMost: z.number().int().nullable().describe('of at-most'),
        proven: z.boolean().describe('false: stopped at the time limit, so a cheaper one of its kind may exist'),
        mix: MixView,
        movedPct: z.number().nullable().describe('share of the mass that differs from the cheapest mix'),
      }),
    ),
  })
  .meta({ id: 'Alternatives' })

export const AssayWorthView = z
  .object({
    reason: z.string().nullable(),
    tests: z
      .array(
        z.object({
          lotId: z.uuid(),
          lotNumber: z.number().int(),
          ...NamedIngredient,
          nutrient: z.string(),
          unit: z.string(),
          sdNow: z.number().describe('how far the content may lie from what is believed'),
          worth: z
            .number()
            .describe(
              'what the batch would cost less on average, in the currency of the mill; below nothing where knowing more costs more',
            ),
          noMixPct: z.number().describe('how often the result would leave no mix at all, per cent'),
          worthPerTonne: PerTonne,
        }),
      )
      .describe('the next best test first'),
  })
  .meta({ id: 'AssayWorth' })

/** What a laying hen needs and eats: for limits and costs a bird and day and for a dozen eggs. */
export const IntakeBody = HenDayBody.extend({
  eggWeightG: z.number().min(20).max(100).default(60),
  ameKcalPerKg: z.number().min(1_500).max(4_500).describe('energy of the feed'),
  costPerTonne: z.number().min(0).max(10_000_000).nullable().default(null),
})
export const IntakeView = z
  .object({
    energyKcal: z.number().describe('need of a bird and day'),
    feedG: z.number().describe('feed of a bird and day at that energy'),
    costPerBirdDay: z.number().nullable(),
    costPerDozenEggs: z.number().nullable(),
    source: z.string(),
    read: z.boolean().describe('false: from memory'),
  })
  .meta({ id: 'Intake' })
