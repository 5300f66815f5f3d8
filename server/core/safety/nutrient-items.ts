import type { NutrientId } from '../composition/nutrients.js'
import type { SafetyRule } from './rows.js'

/** Items of nutrient rules that the mill computes. Trace minerals and vitamins come from the premix label and are not computed yet. */
const NUTRIENT_OF_ITEM: Readonly<Record<string, NutrientId>> = { Ca: 'Ca', Na: 'Na', 'methionine total': 'Met' }
export const nutrientOfRule = ({ itemType, item }: SafetyRule): NutrientId | undefined =>
  itemType === 'nutrient' ? NUTRIENT_OF_ITEM[item] : undefined

/**
 * Rule CA-05 is written for 100 g a day: hens that eat less need more in the feed ("scale up by 100/intake when intake is lower").
 */
export const intakeScale = (rule: SafetyRule, intakeG: number | undefined): number =>
  rule.condition.includes('100/intake') && intakeG !== undefined && intakeG > 0 && intakeG < 100 ? 100 / intakeG : 1
