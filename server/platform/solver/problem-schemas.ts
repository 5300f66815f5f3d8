import { z } from 'zod'
import { FIGURE_RULE, isFigure, isSquareOfFigure, LARGEST_FIGURE, SMALLEST_STEP, SQUARE_RULE } from '#core/formulation/figure-size'

const number = z.number('must be a number')
export const finite = number.refine(isFigure, FIGURE_RULE)
/** An amount to step by. */
const step = number.positive('must be above zero').gte(SMALLEST_STEP, 'must be 1e-9 or more').lte(LARGEST_FIGURE, FIGURE_RULE)
const notNegative = finite.nonnegative('must not be negative')
const text = z.string('must be a text')
export const id = text.min(1, 'must not be empty')
const numbers = z.record(z.string(), finite, 'must be an object of numbers')
const flag = z.boolean('must be true or false')
const list = <T extends z.ZodType>(of: T) => z.array(of, 'must be a list')
const ids = list(id).min(1, 'must name at least one')
/** Remarks that cases carry beside their figures; any other unknown member is refused, because it may be a misspelt limit. */
const remarks = { info: z.unknown().optional(), note: z.unknown().optional(), name: z.unknown().optional(), unit: z.unknown().optional() }
export const object = <T extends z.core.$ZodLooseShape>(shape: T) => z.strictObject({ ...remarks, ...shape }, 'must be an object')

const sides = { min: finite.optional(), max: finite.optional() }
const amountSides = { min: notNegative.optional(), max: notNegative.optional() }

const ingredient = {
  id,
  cost: finite,
  nutrients: numbers.optional(),
  ...amountSides,
  integer: flag.optional(),
  increment: step.optional(),
  minIfUsed: notNegative.refine((least) => least === 0 || least >= SMALLEST_STEP, 'must be zero, or 1e-9 or more').optional(),
}
const Basis = z.enum(['total', 'concentration'], "must be 'total' or 'concentration'")
const InclusionBasis = z.enum(['fraction', 'amount'], "must be 'fraction' or 'amount'")
const Nutrient = object({ id, ...sides, basis: Basis })
const weights = numbers.refine(
  (of) => Object.values(of).some((weight) => weight !== 0),
  'must give at least one nutrient a weight that is not zero',
)
const Ratio = object({ id, numerator: weights, denominator: weights, ...sides })
const Linear = object({ id, coefs: numbers, ...sides })
const Group = object({ id, items: ids, ...amountSides })
const Batch = object({
  size: finite.positive('must be above zero'),
  relation: z.enum(['=', '>=', '<='], "must be '=', '>=' or '<='"),
  unit: text.optional(),
})
const k = finite.int('must be a whole number').nonnegative('must not be negative')
const Logic = z.discriminatedUnion(
  'type',
  [
    object({ id, type: z.literal('atMost'), k, items: ids }),
    object({ id, type: z.literal('atLeast'), k, items: ids }),
    object({ id, type: z.literal('eitherOr'), items: ids }),
    object({ id, type: z.literal('implies'), if: id, then: id }),
  ],
  "must be 'atMost', 'atLeast', 'eitherOr' or 'implies'",
)
const Previous = object({
  amounts: z.record(z.string(), notNegative, 'must be an object of numbers'),
  maxChange: z.union([notNegative, z.record(z.string(), notNegative)], 'must be a number or an object of numbers, none below zero'),
})

/** What a blend has besides its ingredients. */
const blend = {
  batch: Batch.optional(),
  inclusionBasis: InclusionBasis.optional(),
  nutrients: list(Nutrient).optional(),
  ratios: list(Ratio).optional(),
  linear: list(Linear).optional(),
  logic: list(Logic).optional(),
  groups: list(Group).optional(),
  previous: Previous.optional(),
}
const whole = {
  bigM: finite.positive('must be above zero').optional(),
  sense: z.literal('min', "must be 'min'").optional(),
  unitOfAmounts: text.optional(),
}
const someIngredients = <T extends z.ZodType>(of: T) => list(of).min(1, 'must name at least one ingredient')

export const Formula = object({ ...blend, ...whole, ingredients: someIngredients(object(ingredient)) })

const variance = number.nonnegative('must not be negative').refine(isSquareOfFigure, SQUARE_RULE)
const variances = z.record(z.string(), variance, 'must be an object of numbers')
const Chance = object({
  nutrient: id,
  ...sides,
  z: notNegative.optional(),
  probability: finite.gte(0.5, 'must be 0.5 or more').lt(1, 'must be below 1').optional(),
})
export const ChanceConstrained = object({
  ...blend,
  ...whole,
  ingredients: someIngredients(object({ ...ingredient, variance: variances.optional() })),
  chance: list(Chance).min(1, 'must hold at least one limit'),
})

const IngredientLimits = z.union(
  [z.record(z.string(), object(amountSides)), z.array(object({ id, ...amountSides }))],
  'must be an object of limits by ingredient, or a list of limits with ids',
)
const Product = object({ ...blend, id, ingredientLimits: IngredientLimits.optional(), processCost: finite.optional() })
const Total = object({ id, ...sides, ingredients: ids.optional(), products: ids.optional() })
export const Multi = object({
  ...whole,
  ingredients: someIngredients(object({ ...ingredient, stock: notNegative.optional(), costByProduct: numbers.optional() })),
  products: list(Product).min(1, 'must name at least one product'),
  totals: list(Total).optional(),
  linear: list(Linear).optional(),
  logic: list(Logic).optional(),
  inclusionBasis: InclusionBasis.optional(),
})

const end = finite.nullable().optional()
const Sense = z.enum(['min', 'max'], "must be 'min' or 'max'")
const Variable = object({ id, cost: finite, lo: end, hi: end, type: z.enum(['C', 'I', 'B'], "must be 'C', 'I' or 'B'").optional() })
const Row = object({ id, coefs: numbers, lo: end, hi: end })
export const LinearModelProblem = object({
  model: object({
    sense: Sense.optional(),
    offset: finite.optional(),
    vars: list(Variable).min(1, 'must name at least one variable'),
    rows: list(Row),
  }),
})

export const Mps = object({ mps: text.min(1, 'must not be empty'), format: text.optional(), sense: Sense.optional() })

export const Parameter = object({ ingredient: id, from: finite, to: finite })
