import { NUTRIENTS, NUTRIENT_IDS, type NutrientId } from '#core/composition/nutrients'
import type { FormulaLimits } from '#core/formulation/limits'
import { describeRow, type Side } from '#core/formulation/row-id'
import { PER_DAY } from '#core/requirement/intake'
import { ingredientOfMedicine } from './medicated-lots.js'
import type { PreparedMix } from './prepare-mix.js'

/** What a row of a mix stands for, as flat facts that the console tells in words. */
export type LimitFacts = { readonly [fact: string]: string | number | null }
/** What is limited, who has what: the lots by id and the limits that were asked for. */
export type Asked = {
  readonly limits: FormulaLimits
  readonly batchKg: number
  readonly lots: ReadonlyMap<string, { readonly number: number; readonly ingredientId: string; readonly freeKg: string }>
}

export const askedOf = ({ limits, batchKg, lots }: Pick<PreparedMix, 'limits' | 'batchKg' | 'lots'>): Asked => ({
  limits,
  batchKg: Number(batchKg),
  lots: new Map(lots.map((lot) => [lot.id, lot])),
})

const nutrientId = (word: string): NutrientId | undefined => NUTRIENT_IDS.find((id) => id === word)
/** The value of the side that a row holds. */
const valueAt = (side: Side, min: number | undefined, max: number | undefined): number | null => (side === 'max' ? max : min) ?? null

/** In what a bird's share of a nutrient is told. */
const DAY_UNIT = { '%': 'g', 'mg/kg': 'mg', 'mEq/kg': 'mEq', 'kcal/kg': 'kcal' } as const

const perDayFacts = (nutrient: string, side: Side, { perDay }: FormulaLimits): LimitFacts => {
  const id = nutrientId(nutrient)
  const limit = perDay?.limits.find((one) => one.nutrient === id)
  const unit = id === undefined ? '' : DAY_UNIT[NUTRIENTS[id].unit]
  return { kind: 'per-day', nutrient, side, value: valueAt(side, limit?.minPerDay, limit?.maxPerDay), unit }
}

/** A row id of a mix as facts: what kind of limit, on what, which side, at which value and unit. */
export const describeLimit = (rowId: string, { limits, batchKg, lots }: Asked): LimitFacts => {
  const meaning = describeRow(rowId)
  switch (meaning.kind) {
    case 'batch':
      return { kind: 'batch', value: batchKg, unit: 'kg' }
    case 'nutrient': {
      const id = nutrientId(meaning.nutrient)
      const limit = limits.nutrients.find(({ nutrient }) => nutrient === id)
      const value = valueAt(meaning.side, limit?.min, limit?.max)
      return { kind: 'nutrient', nutrient: meaning.nutrient, side: meaning.side, value, unit: id === undefined ? '' : NUTRIENTS[id].unit }
    }
    case 'ratio': {
      if (meaning.ratioId.startsWith(PER_DAY)) return perDayFacts(meaning.ratioId.slice(PER_DAY.length), meaning.side, limits)
      const limit = limits.ratios.find(({ id }) => id === meaning.ratioId)
      const value = valueAt(meaning.side, limit?.min, limit?.max)
      const { numerator = '', denominator = '' } = limit ?? {}
      return { kind: 'ratio', ratioId: meaning.ratioId, numerator, denominator, side: meaning.side, value, unit: '' }
    }
    case 'ingredient': {
      const limit = limits.ingredients.find(({ ingredientId }) => ingredientId === meaning.ingredientId)
      const value = valueAt(meaning.side, limit?.minPct, limit?.maxPct)
      const medicine = ingredientOfMedicine(meaning.ingredientId)
      return {
        kind: medicine === null ? 'ingredient' : 'medicine',
        ingredientId: medicine ?? meaning.ingredientId,
        side: meaning.side,
        value,
        unit: '%',
      }
    }
    case 'group': {
      const limit = limits.groups.find(({ id }) => id === meaning.groupId)
      return {
        kind: 'group',
        groupId: meaning.groupId,
        side: meaning.side,
        value: valueAt(meaning.side, limit?.minPct, limit?.maxPct),
        unit: '%',
      }
    }
    case 'stock':
    case 'lot': {
      const lot = lots.get(meaning.lotId)
      return {
        kind: 'stock',
        lotNumber: lot?.number ?? null,
        ingredientId: lot?.ingredientId ?? null,
        value: lot?.freeKg ?? null,
        unit: 'kg',
      }
    }
    case 'linear':
      return { kind: 'linear', linearId: meaning.linearId }
    case 'change':
      return { kind: 'change', ingredientId: meaning.ingredientId, side: meaning.side }
    case 'choice':
      return { kind: 'choice', of: meaning.of, id: meaning.id }
    case 'unknown':
      return { kind: 'unknown', id: meaning.id }
    default:
      return meaning satisfies never
  }
}
