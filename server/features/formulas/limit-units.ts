import { PER_DAY, amountOfRatio } from '#core/requirement/intake'
import { henEnergyKcal } from '#core/requirement/hen-energy'
import { NUTRIENT_IDS } from '#core/composition/nutrients'
import { describeRow } from '#core/formulation/row-id'
import type { Asked } from './describe-limit.js'

/**
 * What a unit of a row's limit is in the unit that people set the limit in: shares stand in the problem as kilograms of the batch, what a
 * bird gets in a day as a ratio to energy, everything else as it was set.
 */
export const toldUnitOf = (rowId: string, { batchKg, limits }: Pick<Asked, 'batchKg' | 'limits'>): number => {
  const meaning = describeRow(rowId)
  if (meaning.kind === 'ingredient' || meaning.kind === 'group') return 100 / batchKg
  if (meaning.kind !== 'ratio' || !meaning.ratioId.startsWith(PER_DAY) || limits.perDay === undefined) return 1
  const nutrient = NUTRIENT_IDS.find((id) => id === meaning.ratioId.slice(PER_DAY.length))
  const need = henEnergyKcal(limits.perDay.birds)
  return nutrient === undefined || need === null ? 1 : amountOfRatio(nutrient, 1, need)
}

/** 16.5 - 0.1 shows as 16.4, not as 16.400000000000002. */
export const tidy = (value: number): number => Number(value.toPrecision(12))
