import { z } from 'zod'
import { NUTRIENT_IDS, type NutrientId } from '#core/composition/nutrients'
import { FindingView } from './findings.js'
import { listQuery, words } from './lists.js'
import { Instant, KgView, KnownByWord, MoneyView, PricePerKgString, RequiredText, Text } from './quantities.js'

export const VERSION_STATUSES = ['draft', 'submitted', 'approved', 'withdrawn'] as const
const Nutrient = z.enum(NUTRIENT_IDS as unknown as [NutrientId, ...NutrientId[]])
const ordered = (limit: { min?: number | undefined; max?: number | undefined }) =>
  limit.min === undefined || limit.max === undefined || limit.min <= limit.max
const either = (limit: { min?: number | undefined; max?: number | undefined }) => limit.min !== undefined || limit.max !== undefined
const side = z.number().min(-10_000).max(100_000)
const pct = z.number().min(0, 'at least 0 %').max(100, 'at most 100 %')

export const NutrientLimitBody = z
  .strictObject({
    nutrient: Nutrient,
    min: side.optional(),
    max: side.optional(),
    certainty: z
      .number()
      .min(0.5, 'at least 0.5')
      .max(0.999, 'at most 0.999')
      .optional()
      .describe('the probability with which each side holds by itself; left out: 0.5, that is at the mean'),
  })
  .refine(either, { path: ['min'], message: 'at least one of min and max' })
  .refine(ordered, { path: ['min'], message: 'not above max' })
export const RatioLimitBody = z
  .strictObject({ id: RequiredText(40), numerator: Nutrient, denominator: Nutrient, min: side.optional(), max: side.optional() })
  .refine(either, { path: ['min'], message: 'at least one of min and max' })
  .refine(ordered, { path: ['min'], message: 'not above max' })
  .refine(({ numerator, denominator }) => numerator !== denominator, {
    path: ['denominator'],
    message: 'another nutrient than the numerator',
  })
const shareOrdered = (limit: { minPct?: number | undefined; maxPct?: number | undefined }) =>
  limit.minPct === undefined || limit.maxPct === undefined || limit.minPct <= limit.maxPct
export const IngredientLimitBody = z
  .strictObject({ ingredientId: z.string().min(1).max(80), minPct: pct.optional(), maxPct: pct.optional() })
  .refine(shareOrdered, { path: ['minPct'], message: 'not above maxPct' })
export const GroupLimitBody = z
  .strictObject({
    id: RequiredText(60),
    ingredientIds: z.array(z.string().max(80)).min(1).max(60),
    minPct: pct.optional(),
    maxPct: pct.optional(),
  })
  .refine(shareOrdered, { path: ['minPct'], message: 'not above maxPct' })
const amountPerDay = z.number().min(0).max(1_000)
export const PerDayLimitBody = z
  .strictObject({ nutrient: Nutrient, minPerDay: amountPerDay.optional(), maxPerDay: amountPerDay.optional() })
  .refine((limit) => limit.minPerDay !== undefined || limit.maxPerDay !== undefined, {
    path: ['minPerDay'],
    message: 'at least one of minPerDay and maxPerDay',
  })
  .refine((limit) => limit.minPerDay === undefined || limit.maxPerDay === undefined || limit.minPerDay <= limit.maxPerDay, {
    path: ['minPerDay'],
    message: 'not above maxPerDay',
  })
/** The hens for which limits a bird and day are set; the ranges are those of the energy equation. */
export const HenDayBody = z.strictObject({
  weightKg: z.number().gt(0, 'above 0 kg').max(6, 'at most 6 kg'),
  temperatureC: z.number().min(0, 'at least 0 C').max(35, 'at most 35 C'),
  gainG: z.number().min(-50).max(50).default(0).describe('grams a bird and day'),
  eggMassG: z.number().min(0).max(90).describe('grams of egg a bird and day'),
})
export const LimitsBody = z
  .strictObject({
    nutrients: z.array(NutrientLimitBody).max(60),
    ratios: z.array(RatioLimitBody).max(20),
    ingredients: z.array(IngredientLimitBody).max(120),
    groups: z.array(GroupLimitBody).max(20),
    perDay: z
      .strictObject({ birds: HenDayBody, limits: z.array(PerDayLimitBody).max(40) })
      .optional()
      .describe('limits on what a hen gets in a day: g, or mg of what is counted in mg/kg'),
  })
  .meta({ id: 'FormulaLimits' })
export type LimitsBody = z.infer<typeof LimitsBody>

export const MedicationBody = z
  .strictObject({
    active: RequiredText(80),
    mgPerKg: z.number().gt(0, 'above 0 mg/kg').max(1_000, 'at most 1000 mg/kg'),
    ingredientId: z.string().min(1).max(80),
  })
  .meta({ id: 'FormulaMedication' })

/** How the figures of a published set become limits: never a target and certainty at once, because each is a margin. */
export const RequirementUseBody = z
  .discriminatedUnion('kind', [
    z.strictObject({
      kind: z.literal('minimum'),
      certainty: z
        .number()
        .min(0.5, 'at least 0.5')
        .max(0.99, 'at most 0.99')
        .default(0.5)
        .describe('the probability with which each published minimum and maximum holds by itself; 0.5: on average'),
    }),
    z.strictObject({ kind: z.literal('target') }),
  ])
  .describe(
    'minimum: the published minimum and maximum, held with a certainty; target: the published target on average, and the minimum where none is published. A target that is published alone is held on average either way',
  )
export type RequirementUseBody = z.input<typeof RequirementUseBody>

export const CreateFormulaBody = z.strictObject({
  nameEn: RequiredText(80),
  nameSw: RequiredText(80),
  stage: RequiredText(60),
  requirementSource: RequiredText(60).describe('the requirement set to start from, such as REC'),
  requirementUse: RequirementUseBody.default({ kind: 'minimum', certainty: 0.5 }),
})
export const ChangeVersionBody = z.strictObject({ limits: LimitsBody, medication: MedicationBody.nullable(), note: Text(1_000) })
export const ApproveVersionBody = z.strictObject({ password: z.string().min(1).max(200) })
export const WithdrawVersionBody = z.strictObject({ reason: RequiredText(400) })

export const FormulaListQuery = listQuery(['nameEn', 'nameSw', 'stage', 'number'], {
  status: words(VERSION_STATUSES),
  stage: z.string().max(60).optional(),
})

export const VersionSummaryView = z
  .object({
    id: z.uuid(),
    version: z.number().int(),
    status: z.enum(VERSION_STATUSES),
    pricePerKg: PricePerKgString.nullable(),
    author: z.string(),
    createdAt: Instant,
    submittedAt: Instant.nullable(),
    approvedBy: z.string().nullable(),
    approvedAt: Instant.nullable(),
  })
  .meta({ id: 'FormulaVersionSummary' })
export const FormulaView = z
  .object({
    id: z.uuid(),
    number: z.number().int(),
    nameEn: z.string(),
    nameSw: z.string(),
    stage: z.string(),
    approved: VersionSummaryView.nullable(),
    latest: VersionSummaryView,
    versions: z.array(VersionSummaryView),
  })
  .meta({ id: 'Formula' })

/** The answer of the solver told in the mill's words. `kind` decides which parts stand. */
export const MixView = z
  .object({
    kind: z.enum(['optimal', 'infeasible', 'failed']),
    batchKg: KgView,
    costTotal: MoneyView.nullable().describe('at the prices that decide: what replacing the lots would cost, where the mill knows it'),
    costPerTonne: MoneyView.nullable(),
    paidTotal: MoneyView.nullable().describe('at what was paid for the lots'),
    amounts: z.array(
      z.object({
        lotId: z.uuid(),
        lotNumber: z.number().int(),
        ingredientId: z.string(),
        ingredientNameEn: z.string(),
        ingredientNameSw: z.string(),
        pictogram: z.string(),
        kg: KgView,
        pct: z.number(),
        pricePerKg: PricePerKgString.describe('the price that decides'),
        paidPricePerKg: PricePerKgString,
        cost: MoneyView,
      }),
    ),
    nutrients: z.array(
      z.object({
        nutrient: z.string(),
        unit: z.string(),
        value: z.number(),
        min: z.number().nullable(),
        max: z.number().nullable(),
        state: z.enum(['inside', 'at-min', 'at-max', 'no-limit']),
        knownBy: KnownByWord.describe('the weakest mark among its parts'),
        weakShare: z.number().describe('share of the value resting on memory or unknown values, 0 to 1'),
        unknownPct: z.number().describe('share of the mass whose content of this nutrient is unknown, per cent'),
        sd: z.number().nullable().describe('standard deviation of the value in the mix, given what is believed of the lots'),
        certainty: z
          .object({ asked: z.number(), reached: z.number() })
          .nullable()
          .describe('the probability asked of the limit, and that with which the mix holds it'),
      }),
    ),
    limitCosts: z.array(
      z.object({
        row: z.string(),
        limit: z.record(z.string(), z.union([z.string(), z.number(), z.null()])),
        costPerTonneForStep: z.number(),
        from: z.number(),
        to: z.number(),
        unit: z.string(),
      }),
    ),
    notUsed: z.array(
      z.object({
        lotId: z.uuid(),
        lotNumber: z.number().int(),
        ingredientId: z.string(),
        ingredientNameEn: z.string(),
        ingredientNameSw: z.string(),
        pricePerKg: PricePerKgString,
        breakEvenPricePerKg: z.string().nullable(),
      }),
    ),
    leftOut: z.array(
      z.object({
        lotId: z.uuid(),
        lotNumber: z.number().int(),
        ingredientId: z.string(),
        nutrient: z.string(),
        reason: z.string(),
        finding: FindingView.nullable().describe('the check that the lot does not pass, with the reason fails-check'),
      }),
    ),
    conflict: z.array(z.object({ row: z.string(), limit: z.record(z.string(), z.union([z.string(), z.number(), z.null()])) })),
    reason: z.string().nullable(),
    findings: z.array(FindingView),
  })
  .meta({ id: 'Mix' })
export type MixView = z.infer<typeof MixView>

export const VersionView = VersionSummaryView.extend({
  formulaId: z.uuid(),
  formulaNumber: z.number().int(),
  nameEn: z.string(),
  nameSw: z.string(),
  stage: z.string(),
  requirementSource: z.string(),
  limits: LimitsBody,
  limitSources: z.array(
    z.object({
      nutrient: z.string(),
      source: z.string(),
      seen: z.string(),
      basis: z.string(),
      fromTarget: z.boolean().describe('the minimum is what the source calls a target'),
    }),
  ),
  medication: MedicationBody.nullable(),
  note: z.string(),
  contentHash: z.string().nullable(),
  authorId: z.uuid(),
  withdrawnAt: Instant.nullable(),
  withdrawnReason: z.string().nullable(),
  findings: z.array(FindingView),
  revision: z.number().int(),
}).meta({ id: 'FormulaVersion' })
