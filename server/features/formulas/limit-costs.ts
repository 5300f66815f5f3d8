import { NUTRIENT_IDS } from '#core/composition/nutrients'
import { mixConcentration, type MixPart } from '#core/formulation/concentration'
import type { OptimalFormulation } from '#core/formulation/formulate'
import { bindingLimits, type BindingLimit } from '#core/formulation/mix-states'
import { sensibleStep } from '#core/formulation/sensible-step'
import { PER_DAY } from '#core/requirement/intake'
import { describeLimit, type Asked, type LimitFacts } from './describe-limit.js'
import { tidy, toldUnitOf } from './limit-units.js'

export type LimitCost = {
  readonly row: string
  readonly limit: LimitFacts
  readonly costPerTonneForStep: number
  readonly from: number
  readonly to: number
  readonly unit: string
}

const KG_PER_TONNE = 1000
/** Steps in which people change shares and ratios. Common practice, no source. */
const SHARE_STEP_PCT = 1
const SMALL_SHARE_STEP_PCT = 0.1
const RATIO_STEP = 0.1
const STOCK_STEP_KG = 10
const DAY_STEP = 0.1

type Step = { readonly step: number; readonly perTonneForUnit: number }

const nutrientOf = (word: string) => NUTRIENT_IDS.find((id) => id === word)

/** How far a limit moves in one step, and how much of the row's right-hand side one unit of the limit is in a tonne. */
const stepOf = ({ id, meaning }: BindingLimit, { limits, batchKg }: Asked, parts: readonly MixPart[]): Step | null => {
  switch (meaning.kind) {
    case 'nutrient': {
      const nutrient = nutrientOf(meaning.nutrient)
      return nutrient === undefined ? null : { step: sensibleStep(nutrient), perTonneForUnit: KG_PER_TONNE }
    }
    case 'ratio': {
      if (meaning.ratioId.startsWith(PER_DAY)) return dayStep(id, { limits, batchKg }, parts)
      const limit = limits.ratios.find(({ id }) => id === meaning.ratioId)
      const under = limit === undefined ? null : mixConcentration(parts, limit.denominator).atLeast
      return under === null ? null : { step: RATIO_STEP, perTonneForUnit: under * KG_PER_TONNE }
    }
    case 'ingredient':
    case 'group': {
      const share = describeShare(meaning, limits)
      const step = share !== null && share < 2 ? SMALL_SHARE_STEP_PCT : SHARE_STEP_PCT
      return { step, perTonneForUnit: KG_PER_TONNE / 100 }
    }
    case 'stock':
      return { step: STOCK_STEP_KG, perTonneForUnit: KG_PER_TONNE / batchKg }
    case 'batch':
    case 'lot':
    case 'linear':
    case 'change':
    case 'choice':
    case 'unknown':
      return null
    default:
      return meaning satisfies never
  }
}

// The row is a ratio to energy; a unit of the limit, a gram a bird and day, is so much less of the ratio.
const dayStep = (rowId: string, asked: Pick<Asked, 'limits' | 'batchKg'>, parts: readonly MixPart[]): Step | null => {
  const energy = mixConcentration(parts, 'AME').atLeast
  return energy === null ? null : { step: DAY_STEP, perTonneForUnit: (energy * KG_PER_TONNE) / toldUnitOf(rowId, asked) }
}

const describeShare = (
  meaning: Extract<BindingLimit['meaning'], { kind: 'ingredient' | 'group' }>,
  limits: Asked['limits'],
): number | null => {
  const limit =
    meaning.kind === 'ingredient'
      ? limits.ingredients.find(({ ingredientId }) => ingredientId === meaning.ingredientId)
      : limits.groups.find(({ id }) => id === meaning.groupId)
  return (meaning.side === 'max' ? limit?.maxPct : limit?.minPct) ?? null
}

/**
 * What each binding limit costs, told as one sensible step that loosens it: from 16.5 to 16.4 % protein saves so much a tonne.
 * A price above zero says that a higher right-hand side costs more, so the limit is loosened downwards; below zero upwards.
 */
export const limitCosts = (found: OptimalFormulation, asked: Asked, parts: readonly MixPart[]): LimitCost[] =>
  bindingLimits(found).flatMap((binding) => {
    const at = stepOf(binding, asked, parts)
    const limit = describeLimit(binding.id, asked)
    const from = Number(limit['value'])
    if (at === null || binding.shadowPrice === 0 || limit['value'] === null || !Number.isFinite(from)) return []
    const to = tidy(binding.shadowPrice > 0 ? from - at.step : from + at.step)
    const costPerTonneForStep = tidy(Math.abs(binding.shadowPrice) * at.step * at.perTonneForUnit)
    return [{ row: binding.id, limit, costPerTonneForStep, from, to, unit: String(limit['unit'] ?? '') }]
  })
