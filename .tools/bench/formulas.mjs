// One feed of 60 lots and 30 limits, made of the book of ingredients and invented results and prices; the same figures in every run.
import { composeLot } from '../../dist/server/core/composition/compose-lot.js'
import { contentsForMix } from '../../dist/server/core/composition/contents.js'
import { spreadsForMix } from '../../dist/server/core/composition/spreads.js'
import { mixProblem } from '../../dist/server/core/formulation/mix-problem.js'
import { statementOf } from '../../dist/server/core/formulation/problem-statement.js'
import { readAssayErrors, readIngredients } from '../../dist/seed/reference-tables.js'
import { REPLACEMENT_PRICES } from '../../dist/seed/demo/store.js'

export const LOTS = 60
export const LIMITS = 30
const LOTS_OF_EACH = 3
/** Left out so that the ones that stay make sixty lots; each of them is the lesser known of a pair. */
const WITHOUT = ['maize_yellow', 'bone_meal_steamed', 'soybean_meal_48']

/** Even draws from 0 to 1, the same for a seed everywhere (mulberry32, from memory). */
export function drawsFrom(seed) {
  let state = seed >>> 0
  return () => {
    state = (state + 0x6d2b79f5) >>> 0
    let t = state
    t = Math.imul(t ^ (t >>> 15), t | 1)
    t ^= t + Math.imul(t ^ (t >>> 7), t | 61)
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296
  }
}

const ingredients = readIngredients().filter(({ key }) => key in REPLACEMENT_PRICES && !WITHOUT.includes(key))
const assayErrors = readAssayErrors()

const proteinResult = (protein, value) => ({
  analyte: 'CP',
  value,
  unit: protein.unit,
  belowDetection: false,
  sd: null,
  method: 'chemical',
  laboratory: 'bench',
  measuredOn: '2026-11-01',
})

function lotOf({ key, category, book }, index, draw) {
  const protein = book.find(({ nutrient }) => nutrient === 'CP')
  const assays = protein?.value > 1 ? [proteinResult({ unit: '%' }, protein.value * (0.94 + 0.12 * draw()))] : []
  const composition = composeLot({ ingredientKey: key, category, book, assays, assayErrors })
  return {
    id: `${key}-${index}`,
    ingredientId: key,
    pricePerKg: Math.round(Number(REPLACEMENT_PRICES[key]) * (85 + 30 * draw())) / 100,
    freeKg: Math.round(200 + 1800 * draw()),
    contents: contentsForMix(composition),
    spreads: spreadsForMix(composition),
  }
}

const limitsFor = (draw) => {
  const near = (value) => value * (0.99 + 0.02 * draw())
  const share = (ingredientId, maxPct) => ({ ingredientId, maxPct })
  return {
    nutrients: [
      { nutrient: 'AME', min: near(2650) },
      { nutrient: 'CP', min: near(16.5), max: 22 },
      { nutrient: 'CF', max: 7 },
      { nutrient: 'EE', max: 9 },
      { nutrient: 'Ca', min: near(3.6), max: 4.4 },
      { nutrient: 'avP', min: near(0.34) },
      { nutrient: 'Na', min: 0.15, max: 0.2 },
      { nutrient: 'Cl', max: 0.35 },
      { nutrient: 'LA', min: near(1.1) },
      { nutrient: 'SID_Lys', min: near(0.72) },
      { nutrient: 'SID_Met', min: near(0.34) },
      { nutrient: 'SID_MetCys', min: near(0.58) },
      { nutrient: 'SID_Thr', min: near(0.5) },
      { nutrient: 'SID_Trp', min: near(0.12) },
      { nutrient: 'SID_Arg', min: near(0.74) },
      { nutrient: 'SID_Ile', min: near(0.55) },
      { nutrient: 'SID_Val', min: near(0.61) },
    ],
    ratios: [{ id: 'calcium-to-phosphorus', numerator: 'Ca', denominator: 'avP', min: 8, max: 13 }],
    ingredients: [
      { ingredientId: 'premix_generic', minPct: 0.5, maxPct: 0.5 },
      share('rice_bran_medium', 12),
      share('sunflower_cake_high_fibre', 12),
      share('cottonseed_cake_decorticated', 5),
      share('omena_dagaa_meal', 6),
      share('wheat_bran', 15),
      share('sorghum_low_tannin', 40),
    ],
    groups: [{ id: 'fish', ingredientIds: ['omena_dagaa_meal', 'fish_meal_60'], maxPct: 8 }],
  }
}

/** The mix of 1,000 kg that seed makes; `change` may alter lots and limits before it becomes a problem. */
export function formula(seed, change = (request) => request) {
  const draw = drawsFrom(seed)
  const lots = ingredients.flatMap((ingredient) => Array.from({ length: LOTS_OF_EACH }, (_, i) => lotOf(ingredient, i, draw)))
  return mixProblem(change({ batchKg: 1000, lots, limits: limitsFor(draw) })).problem
}

/** What the feed is bought for, with nine chances in ten each. */
const CERTAIN = new Set(['CP', 'SID_Lys', 'avP'])
export const withCertainty = ({ limits, ...request }) => ({
  ...request,
  limits: { ...limits, nutrients: limits.nutrients.map((one) => (CERTAIN.has(one.nutrient) ? { ...one, certainty: 0.9 } : one)) },
})

const withNutrients = (limits, change) => ({ ...limits, nutrients: limits.nutrients.map(change) })
/** More protein than any mix of these lots can hold. */
const beyondReach = ({ limits, ...request }) => ({
  ...request,
  limits: withNutrients(limits, (one) => (one.nutrient === 'CP' ? { nutrient: 'CP', min: 45 + one.min / 10 } : one)),
})
/** The lots of an ingredient are the same lot, and every figure is round: many mixes cost the same. */
const alike = ({ lots, limits, ...request }) => ({
  ...request,
  limits: withNutrients(limits, ({ min, max, ...one }) => ({
    ...one,
    ...(min === undefined ? {} : { min: Math.floor(min * 10) / 10 }),
    ...(max === undefined ? {} : { max }),
  })),
  lots: lots.map((lot) => {
    const first = lots.find(({ ingredientId }) => ingredientId === lot.ingredientId)
    return { ...first, id: lot.id, pricePerKg: Math.round(first.pricePerKg), freeKg: 500 }
  }),
})

const scaledBy = (numbers, factorOf) => Object.fromEntries(Object.entries(numbers).map(([id, value]) => [id, value * factorOf(id)]))
const sides = ({ min, max, ...rest }, factor) => ({
  ...rest,
  ...(min === undefined ? {} : { min: min * factor }),
  ...(max === undefined ? {} : { max: max * factor }),
})
/** The same feed in other units: each nutrient a hundred-thousandth to a hundred thousand times as large, the batch from grams to thousands of tonnes. */
function inOddUnits(problem, seed) {
  const draw = drawsFrom(seed)
  const factors = new Map(problem.nutrients.map(({ id }) => [id, 10 ** Math.round(10 * draw() - 5)]))
  for (const { numerator, denominator } of problem.ratios)
    for (const id of [...Object.keys(numerator), ...Object.keys(denominator)]) if (!factors.has(id)) factors.set(id, 1)
  const factorOf = (id) => factors.get(id) ?? 1
  const mass = 10 ** Math.round(9 * draw() - 3)
  return {
    batch: { ...problem.batch, size: problem.batch.size * mass },
    ingredients: problem.ingredients.map((one) => sides({ ...one, nutrients: scaledBy(one.nutrients, factorOf) }, mass)),
    nutrients: problem.nutrients.map((one) => sides(one, factorOf(one.id))),
    ratios: problem.ratios.map(({ numerator, denominator, ...rest }) => ({
      ...rest,
      numerator: scaledBy(numerator, (id) => 1 / factorOf(id)),
      denominator: scaledBy(denominator, (id) => 1 / factorOf(id)),
    })),
    linear: problem.linear.map((one) => sides(one, mass)),
  }
}

/** What a solver must get right, by kind. */
export const KINDS = {
  feasible: (seed) => formula(seed),
  infeasible: (seed) => formula(seed, beyondReach),
  degenerate: (seed) => formula(seed, alike),
  'badly scaled': (seed) => inOddUnits(formula(seed), seed),
}

/** Every limit but the batch and the stocks. */
export const limitCount = (problem) => statementOf(problem).limits.rows.filter(({ id }) => id !== 'batch').length
