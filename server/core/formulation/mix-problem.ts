import type { NutrientId } from '../composition/nutrients.js'
import type { Spread } from '../composition/spread.js'
import { perDayRatios } from '../requirement/intake.js'
import type { FormulaLimits, NutrientLimit, RatioLimit } from './limits.js'
import { burdenOf, contentOf, isKnown, worthOf, type MixLot } from './mix-lot.js'
import { zOf } from './normal.js'
import type { FormulaProblem, ProblemIngredient, ProblemLinear, ProblemNutrient, ProblemRatio } from './problem.js'
import { groupRow, ingredientRow, WORST, type Side } from './row-id.js'

/** A lot that could not be considered, and which unknown content was the cause. */
export type LeftOut = { readonly lotId: string } & (
  | { readonly reason: 'no-stock'; readonly nutrient: null }
  /** `no-spread`: a limit asks for certainty, and nobody says how far the lot's content may lie from what is believed. */
  | { readonly reason: 'no-worst-case' | 'unknown-either-side' | 'no-spread'; readonly nutrient: NutrientId }
)

/** A content that is unknown and was counted against the mix all the same. */
export type UnknownUsed = {
  readonly lotId: string
  readonly nutrient: NutrientId
  readonly towards: 'min' | 'max'
  readonly countedAs: number
}

export type MixRequest = { readonly batchKg: number; readonly lots: readonly MixLot[]; readonly limits: FormulaLimits }
export type MixProblem = {
  readonly problem: FormulaProblem
  readonly leftOut: readonly LeftOut[]
  readonly unknownUsed: readonly UnknownUsed[]
}

/** A nutrient that some limit asks about, from below (`min`) or from above (`max`). */
type Asked = { readonly nutrient: NutrientId; readonly towards: 'min' | 'max' }

const limited = (limit: { readonly min?: number | undefined; readonly max?: number | undefined }) => ({
  min: limit.min !== undefined,
  max: limit.max !== undefined,
})

/** A ratio's minimum leans on the numerator's worth and the denominator's burden, its maximum the other way round. */
function askedByRatio(ratio: RatioLimit): Asked[] {
  const { min, max } = limited(ratio)
  const from = (numerator: 'min' | 'max', denominator: 'min' | 'max'): Asked[] => [
    { nutrient: ratio.numerator, towards: numerator },
    { nutrient: ratio.denominator, towards: denominator },
  ]
  return [...(min ? from('min', 'max') : []), ...(max ? from('max', 'min') : [])]
}

/** All ratio limits: limits a bird and day are ratios to energy, because birds eat to their energy need. */
export const ratiosOf = (limits: FormulaLimits): readonly RatioLimit[] => [...limits.ratios, ...perDayRatios(limits.perDay)]

function askedBy(limits: FormulaLimits): Asked[] {
  const ofNutrients = limits.nutrients.flatMap((limit): Asked[] => {
    const { min, max } = limited(limit)
    return [
      ...(min ? [{ nutrient: limit.nutrient, towards: 'min' as const }] : []),
      ...(max ? [{ nutrient: limit.nutrient, towards: 'max' as const }] : []),
    ]
  })
  const all = [...ofNutrients, ...ratiosOf(limits).flatMap(askedByRatio)]
  return [...new Map(all.map((asked) => [`${asked.nutrient} ${asked.towards}`, asked])).values()]
}

const counted = (lot: MixLot, { nutrient, towards }: Asked): number | null =>
  (towards === 'min' ? worthOf : burdenOf)(contentOf(lot.contents, nutrient), nutrient)

/** Certainty up to a half asks for no more than the mean. */
const zAsked = ({ certainty = 0.5 }: NutrientLimit): number => (certainty > 0.5 ? zOf(certainty) : 0)

/** A known content of nothing cannot vary; any other without a spread is not taken as exact. */
const lacksSpread = (lot: MixLot, nutrient: NutrientId): boolean => {
  const content = contentOf(lot.contents, nutrient)
  return isKnown(content) && content !== 0 && lot.spreads?.[nutrient] === undefined
}

function leftOutOf(lot: MixLot, asked: readonly Asked[], certain: readonly NutrientId[]): LeftOut[] {
  if (!(lot.freeKg > 0)) return [{ lotId: lot.id, reason: 'no-stock', nutrient: null }]
  const uncounted = asked
    .filter((one) => counted(lot, one) === null)
    .map(({ nutrient, towards }): LeftOut => ({
      lotId: lot.id,
      nutrient,
      reason: towards === 'min' ? 'unknown-either-side' : 'no-worst-case',
    }))
  const unsure = certain.filter((nutrient) => lacksSpread(lot, nutrient))
  return [...uncounted, ...unsure.map((nutrient): LeftOut => ({ lotId: lot.id, nutrient, reason: 'no-spread' }))]
}

const unknownOf = (lot: MixLot, asked: readonly Asked[]): UnknownUsed[] =>
  asked
    .filter(({ nutrient }) => !isKnown(contentOf(lot.contents, nutrient)))
    .map(({ nutrient, towards }) => ({ lotId: lot.id, nutrient, towards, countedAs: counted(lot, { nutrient, towards }) ?? Number.NaN }))

const nameFor = ({ nutrient, towards }: Asked): string => (towards === 'min' ? nutrient : `${nutrient}${WORST}`)

/** Spreads of known contents. What is counted as nothing or at its worst is the side to fear already, and has none. */
const spreadsOf = (lot: MixLot, asked: readonly Asked[]): (readonly [string, Spread])[] =>
  asked.flatMap((one) => {
    const spread = lot.spreads?.[one.nutrient]
    return spread && isKnown(contentOf(lot.contents, one.nutrient)) ? [[nameFor(one), spread] as const] : []
  })

function ingredientOf(lot: MixLot, asked: readonly Asked[]): ProblemIngredient {
  const nutrients = asked.map((one) => [nameFor(one), counted(lot, one) ?? Number.NaN] as const)
  const spreads = spreadsOf(lot, asked)
  return {
    id: lot.id,
    cost: lot.pricePerKg,
    max: lot.freeKg,
    nutrients: Object.fromEntries(nutrients),
    ...(spreads.length === 0 ? {} : { spreads: Object.fromEntries(spreads) }),
  }
}

function nutrientLimits(limit: NutrientLimit): ProblemNutrient[] {
  const { min, max } = limited(limit)
  const asked = zAsked(limit)
  const rest = { basis: 'concentration' as const, ...(asked === 0 ? {} : { z: asked }) }
  return [
    ...(min ? [{ id: limit.nutrient, min: limit.min, ...rest }] : []),
    ...(max ? [{ id: `${limit.nutrient}${WORST}`, max: limit.max, ...rest }] : []),
  ]
}

function ratioLimits(ratio: RatioLimit): ProblemRatio[] {
  const { min, max } = limited(ratio)
  const worth = (nutrient: NutrientId, times = 1) => ({ [nameFor({ nutrient, towards: 'min' })]: times })
  const burden = (nutrient: NutrientId, times = 1) => ({ [nameFor({ nutrient, towards: 'max' })]: times })
  return [
    ...(min
      ? [{ id: ratio.id, numerator: worth(ratio.numerator, ratio.times), denominator: burden(ratio.denominator), min: ratio.min }]
      : []),
    ...(max
      ? [
          {
            id: `${ratio.id}${WORST}`,
            numerator: burden(ratio.numerator, ratio.times),
            denominator: worth(ratio.denominator),
            max: ratio.max,
          },
        ]
      : []),
  ]
}

type Share = { readonly minPct?: number | undefined; readonly maxPct?: number | undefined }

/** Shares of the batch over all lots of some ingredients, in kilograms. A maximum over no lots is no limit; a minimum over none is a conflict. */
function shareRows(share: Share, lots: readonly MixLot[], batchKg: number, idFor: (side: Side) => string): ProblemLinear[] {
  const coefs = Object.fromEntries(lots.map((lot) => [lot.id, 1]))
  const kg = (pct: number) => (pct / 100) * batchKg
  const { minPct: min, maxPct: max } = share
  if (min !== undefined && min === max) return [{ id: idFor('eq'), coefs, min: kg(min), max: kg(min) }]
  return [
    ...(min === undefined || min === 0 ? [] : [{ id: idFor('min'), coefs, min: kg(min) }]),
    ...(max === undefined || lots.length === 0 ? [] : [{ id: idFor('max'), coefs, max: kg(max) }]),
  ]
}

/**
 * The problem of one mix: kilograms by lot (ingredient ids of the problem are lot ids, a lot's stock its `max`), nutrient limits on
 * concentration, shares of ingredients and groups as linear rows. Unknown is worth nothing towards a minimum and counts at its worst case
 * towards a maximum (ids with `WORST`); a lot whose unknown content has no worst case is left out and named. Where a limit asks for certainty,
 * its `z` and the spreads of known contents go along, and a lot with a content of no known spread is left out and named. `describeRow` reads the ids back.
 */
export function mixProblem({ batchKg, lots, limits }: MixRequest): MixProblem {
  const asked = askedBy(limits)
  const certain = limits.nutrients.filter((limit) => zAsked(limit) !== 0).map((limit) => limit.nutrient)
  const leftOut = lots.flatMap((lot) => leftOutOf(lot, asked, certain))
  const missing = new Set(leftOut.map((one) => one.lotId))
  const used = lots.filter((lot) => !missing.has(lot.id))
  const lotsOf = (ingredientIds: readonly string[]) => used.filter((lot) => ingredientIds.includes(lot.ingredientId))
  return {
    leftOut,
    unknownUsed: used.flatMap((lot) => unknownOf(lot, asked)),
    problem: {
      batch: { size: batchKg, relation: '=', unit: 'kg' },
      ingredients: used.map((lot) => ingredientOf(lot, asked)),
      nutrients: limits.nutrients.flatMap(nutrientLimits),
      ratios: ratiosOf(limits).flatMap(ratioLimits),
      linear: [
        ...limits.ingredients.flatMap((one) =>
          shareRows(one, lotsOf([one.ingredientId]), batchKg, (side) => ingredientRow(one.ingredientId, side)),
        ),
        ...limits.groups.flatMap((group) => shareRows(group, lotsOf(group.ingredientIds), batchKg, (side) => groupRow(group.id, side))),
      ],
    },
  }
}
